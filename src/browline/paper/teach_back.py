"""The teach-back sheet: common errors, what each does and why, words to say, a box for what was said back."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import cast

from browline.paper.hand_out import controlled
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts.cards import HandedOut

ABOUT = (
    "Show it, say it, hear it back in the other’s own words. The sheet is about steps, not about people: names stay "
    "off it."
)
READS: dict[str, str] = {"low": "low", "high": "high", "either": "either way", "none": "no change"}


def write_teach_back(handed: HandedOut, path: Path | str) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("teach_back.typ", teach_back_laid_out(handed), handed.made, Path(path))


def teach_back_laid_out(handed: HandedOut) -> dict[str, object]:
    """The sheet as nested dicts of texts."""
    errors = cast(Sequence[Mapping[str, str]], handed.body["rows"])
    rows = [{**row, "direction": READS[row["direction"]]} for row in errors]
    return {**controlled(handed, ABOUT), "errors": rows}
