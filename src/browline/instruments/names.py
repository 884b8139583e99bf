"""Names of instruments that the eye takes for one another: O and 0, I, l and 1."""

from collections.abc import Iterable

ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1"})


def look_alikes(name: str, others: Iterable[str]) -> tuple[str, ...]:
    """Which of the `others` could be misread as `name`, or differ from it by case, blanks and dashes alone.

    >>> look_alikes("FS-O7", ["FS-07", "FS-70", "fs 07", "FS-O7"])
    ('FS-07', 'fs 07')
    """
    return tuple(candidate for candidate in others if candidate != name and _plain(candidate) == _plain(name))


def same_name(name: str, others: Iterable[str]) -> str:
    """The one of the `others` that differs from `name` by case and blanks alone, else `name` without spare blanks.

    >>> same_name(" fs-07 ", ["FS-07", "FS-08"]), same_name("FS-9", ["FS-07"])
    ('FS-07', 'FS-9')
    """
    trimmed = " ".join(name.split())
    meant = [candidate for candidate in others if candidate.casefold() == trimmed.casefold()]
    return trimmed if trimmed in meant or len(meant) != 1 else meant[0]


def _plain(name: str) -> str:
    return "".join(c for c in name.upper().translate(ALIKE) if c.isalnum())
