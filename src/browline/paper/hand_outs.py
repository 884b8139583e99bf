"""Every hand-out by its name."""

from collections.abc import Callable
from pathlib import Path

from browline.paper.pathway import write_pathway
from browline.paper.pocket_card import write_pocket_card
from browline.paper.poster import write_poster
from browline.paper.questions_sheet import write_questions_sheet
from browline.paper.site_card import write_site_card, write_site_card_reasons
from browline.paper.teach_back import write_teach_back
from browline.services.materials.handouts.cards import HandedOut

WRITERS: dict[str, Callable[[HandedOut, Path | str], Path]] = {
    "pocket-card": write_pocket_card,
    "poster": write_poster,
    "site-card": write_site_card,
    "site-card-reasons": write_site_card_reasons,
    "teach-back": write_teach_back,
    "questions": write_questions_sheet,
    "pathway": write_pathway,
}


def write_hand_out(handed: HandedOut, path: Path | str) -> Path:
    """Write a hand-out to `path`; the file appears whole or not at all."""
    return WRITERS[handed.hand_out.name](handed, path)
