"""The log of questioned readings on paper: the closed lists as boxes to tick, two lines of the log on a sheet."""

from datetime import datetime
from pathlib import Path

from browline.instruments.questioned import AGES, CAUSES, DEEDS, PARTS_OF_DAY
from browline.paper.hand_out import hand_out
from browline.paper.pdf import write_typeset

TITLE = "Log of questioned readings"
ABOUT = (
    "Chart every reading with its site in the patient record; this is not the record. No name, no bed, no number of a "
    "patient. Fill one half after the event, when the patient is settled."
)
VALUES = 6


def write_questioned_log_sheet(path: Path | str, *, hospital: str, paper: str, created: datetime) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset(
        "questioned_log_sheet.typ", log_sheet_laid_out(hospital, paper, created), created, Path(path)
    )


def log_sheet_laid_out(hospital: str, paper: str, created: datetime) -> dict[str, object]:
    """The sheet as nested dicts of texts."""
    return {
        **hand_out(TITLE, ABOUT, hospital=hospital, paper=paper, created=created),
        "halves": 2,
        "values": VALUES,
        "parts": [word.split(" (")[0] for word in PARTS_OF_DAY.values()],
        "ages": list(AGES.values()),
        "causes": list(CAUSES.values()),
        "deeds": list(DEEDS.values()),
    }
