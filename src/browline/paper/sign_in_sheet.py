"""The sheet to sign at a session: who is expected with a box to tick, and lines for everybody else."""

from pathlib import Path

from browline import display
from browline.paper.hand_out import hand_out
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts import Expected, SignInSheet

ABOUT = "Signing says that you were here. Attendance is not competence: that takes an observed return demonstration."
# Rather five lines on one page than eight on two.
FEWEST_LINES, FEWEST_LINES_OVER = 5, 8
# Rows that leave room for the caution below them, also under a title of two lines.
ROWS_OF_A_PAGE = {"a4": 20, "us-letter": 18}
# On a second page at least this many stand above the caution.
ROWS_OVER = 6


def write_sign_in_sheet(sheet: SignInSheet, path: Path | str) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("sign_in_sheet.typ", sign_in_laid_out(sheet), sheet.made, Path(path))


def sign_in_laid_out(sheet: SignInSheet) -> dict[str, object]:
    """The sheet as nested dicts of texts."""
    title = f"Sign-in: forehead scan thermometry{f', {sheet.ward}' if sheet.ward else ''}"
    return {
        **hand_out(title, ABOUT, hospital=sheet.hospital, paper=sheet.paper, created=sheet.made),
        "ward": sheet.ward,
        "time": _time(sheet),
        "educator": sheet.educator,
        "code": sheet.code,
        "address": sheet.address,
        "qr": sheet.qr,
        "expected": [_expected(person) for person in sheet.expected],
        "lines": _lines(len(sheet.expected), ROWS_OF_A_PAGE[sheet.paper]),
    }


def _lines(expected: int, page: int) -> int:
    """How many empty lines follow the names: the page is filled, or so much of a second that it is worth turning."""
    if expected + FEWEST_LINES <= page:
        return page - expected
    return max(FEWEST_LINES_OVER, page + ROWS_OVER - expected)


def _time(sheet: SignInSheet) -> str:
    if sheet.time is None:
        return ""
    lasts = f", {sheet.minutes} min" if sheet.minutes else ""
    return f"{display.day(sheet.time)} {display.time_of_day(sheet.time)}{lasts}"


def _expected(person: Expected) -> dict[str, str]:
    return {"name": person.name, "role": ", ".join(filter(None, (person.role, person.note)))}
