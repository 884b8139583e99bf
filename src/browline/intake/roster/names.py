"""Names of staff, compared: only spaces, capitals and the order around a comma are forgiven."""

import re

from browline.intake.identifiers import looks_shared

_NOBODY = re.compile(r"(?i)^\s*((vacan(t|cy)|vac|tbc|tba|n/?a|unfilled|empty|cover)\s*\d*|[-–—?.x]*)\s*$")


def plain_name(text: str) -> str:
    """A name for comparing: single spaces, small letters, "Surname, Given" turned round.

    >>> plain_name(" Alderley,  HANA ")
    'hana alderley'
    """
    parts = [" ".join(part.split()) for part in text.casefold().split(",")]
    return " ".join(reversed(parts)) if len(parts) == 2 else " ".join(text.casefold().split())


def names_nobody(identifier: str, name: str) -> bool:
    """Whether a line is nobody's: blank or vacant, or bank and agency without a number.

    >>> names_nobody("", "VACANT 2"), names_nobody("", "Agency"), names_nobody("", "Agency RN 3")
    (True, True, False)
    """
    text = identifier or name
    return bool(_NOBODY.match(text)) or (not identifier and looks_shared(text) and not re.search(r"\d", text))
