"""The questions a class asks, printed: the answer, then the rule of the trade beside the published figure."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import cast

from browline.paper.hand_out import controlled
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts.cards import HandedOut

ABOUT = (
    "Each is answered in two sentences. The rule of the trade stands beside the published figure, and where they "
    "disagree is said. Figures were read as abstracts or in secondary sources; check the paper before quoting one."
)


def write_questions_sheet(handed: HandedOut, path: Path | str) -> Path:
    """Write the questions to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("questions_sheet.typ", questions_laid_out(handed), handed.made, Path(path))


def questions_laid_out(handed: HandedOut) -> dict[str, object]:
    """The questions as nested dicts of texts."""
    rows = cast(Sequence[Mapping[str, str]], handed.body["rows"])
    return {**controlled(handed, ABOUT), "questions": [dict(row) for row in rows]}
