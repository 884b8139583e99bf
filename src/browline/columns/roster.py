"""The roster: who works when and where. It is read by its days, or by headings of its own."""

from browline.columns.column import Column, ImportKind

ROSTER = ImportKind(
    id="roster",
    title="roster: who is on duty, when and where",
    answers="Who is on duty, when and where, and whom a session can reach.",
    reader="grid",
    columns=(
        Column("person", "identifier", True, "staff identifier, or a name that one person has"),
        Column("date", "date", True, "the day; a night belongs to the day it begins"),
        Column("shift", "word", True, "the code of the turn; what it stands for is settled once"),
        Column("ward", "word", False, "where, if not on the home ward"),
        Column("start", "time", False, "when it begins, where the code does not say"),
        Column("end", "time", False, "when it ends"),
    ),
)  # fmt: skip
