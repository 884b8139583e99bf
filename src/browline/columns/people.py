"""People: the staff register."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import FROM, PERSON, UNTIL, WARD

PEOPLE = ImportKind(
    id="people",
    title="people: the staff register",
    answers="Which staff belong to which role and ward.",
    signs=Signs(rank=7, headings=("person",), any_column=("role", "ward", "from", "until")),
    identity=("person", "name", "role", "ward", "from", "until"),
    columns=(
        Column(
            "person", "identifier", True, "the staff identifier as charted with readings",
            headings=PERSON,
        ),
        Column(
            "name", "word", False, "the name as it should stand on sheets; names of staff only",
            headings="""
                name, staff name, full name, display name, nurse name, employee name, person name, name of staff
            """,
        ),
        Column(
            "role", "word", False, "role",
            headings="""
                role, job, job title, title, grade, band, position, profession, post, staff group, job role,
                designation, rank
            """,
        ),
        Column("ward", "word", False, "home ward", headings=WARD),
        Column("from", "date", False, "employed from", headings=FROM),
        Column("until", "date", False, "employed until", headings=UNTIL),
    ),
)  # fmt: skip
