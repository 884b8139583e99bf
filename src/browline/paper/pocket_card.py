"""The pocket card: eight on a page with lines to cut along, black on white, both units on every temperature."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TypedDict, cast

from browline.materials.pocket_card import PARTS
from browline.paper.hand_out import controlled
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts.cards import HandedOut

ABOUT = "Steps, waits, the fever line, when to doubt a reading, and how to chart it."
SHORT_CAUTION = "Teaching aid, not a diagnosis. Local policy first. Looks ill: escalate, whatever the number."
STAR = "\u00a0*"
STARRED = "* as the instructions of your instrument say"
TITLES: dict[str, str] = {**PARTS, "step": "", "doubt": "Doubt it"}


class Row(TypedDict):
    """A line of the card: in which `part` it stands, and whether the instrument's instructions decide it."""

    part: str
    says: str
    by_instructions: bool


def write_pocket_card(handed: HandedOut, path: Path | str) -> Path:
    """Write the cards to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("pocket_card.typ", card_laid_out(handed), handed.made, Path(path))


def card_laid_out(handed: HandedOut) -> dict[str, object]:
    """The card as nested dicts of texts; the poster is filled with the same."""
    head = cast(Mapping[str, str], handed.body["head"])
    rows = cast(Sequence[Row], handed.body["rows"])
    return {
        **controlled(handed, ABOUT),
        "title": head["title"],
        "call": head["call"],
        "parts": {part: _part(part, rows) for part in PARTS},
        "short_caution": SHORT_CAUTION,
        "starred": STARRED if any(row["by_instructions"] for row in rows) else "",
    }


def _part(part: str, rows: Sequence[Row]) -> dict[str, object]:
    part_rows = [row for row in rows if row["part"] == part]
    lines = [row["says"] + (STAR if row["by_instructions"] else "") for row in part_rows]
    return {"title": TITLES[part], "lines": lines}
