"""The sheet for a round: each instrument that should be there, what to look at, and lines for others."""

from pathlib import Path

from browline import display
from browline.paper.hand_out import hand_out
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts import RoundLine, RoundSheet

ABOUT = (
    "Look at every instrument, also those at a bedside. “Not found” is an answer: it stays in the count. "
    "Not fit to use: bring a spare, tag it, send it for a check."
)
FEWEST_LINES, LINES_OF_A_PAGE = 4, 14


def write_round_sheet(sheet: RoundSheet, path: Path | str) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("round_sheet.typ", round_laid_out(sheet), sheet.made, Path(path))


def round_laid_out(sheet: RoundSheet) -> dict[str, object]:
    """The sheet as nested dicts of texts."""
    title = f"Round of instruments: {sheet.ward or 'every ward'}"
    return {
        **hand_out(title, ABOUT, hospital=sheet.hospital, paper=sheet.paper, created=sheet.made),
        "listed": len(sheet.lines),
        "instruments": [_line(line) for line in sheet.lines],
        "lines": max(FEWEST_LINES, LINES_OF_A_PAGE - len(sheet.lines)),
    }


def _line(line: RoundLine) -> dict[str, str]:
    return {
        "instrument": line.instrument,
        "ward": line.ward or "not said",
        "mode": line.mode,
        "unit": f"°{line.unit}" if line.unit else "",
        "due": f"lens due {display.day(line.due)}" if line.due else "",
    }
