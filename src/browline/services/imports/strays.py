"""Finished files of a book that no import names: counted in words, with what to do; never deleted."""

from collections.abc import Sequence

from browline import display
from browline.services.imports.entries import Strays

DO = (
    "Was an import cut off? Bring its file again. Were the records put back from an older copy? Put back a newer copy,"
    " or bring the exports since then again. The guide says more, under Lost records."
)


def strays_note(names: Sequence[str]) -> list[str]:
    """One sentence of what lies there and what to do; nothing where every file is named."""
    if not names:
        return []
    if len(names) == 1:
        count = "1 file in this book's folder of readings belongs to no import. It does not count. It was left there."
    else:
        count = (
            f"{display.number(len(names))} files in this book's folder of readings belong to no import."
            " They do not count."
            " They were left there."
        )
    return [f"{count} {DO}"]


def strays_as_json(names: Sequence[str]) -> Strays:
    """The same as the receipt has it."""
    return {"count": len(names), "files": list(names), "sentence": "".join(strays_note(names))}
