"""The poster: the pocket card's lines on one large page, readable from two steps away."""

from pathlib import Path

from browline.paper.pdf import write_typeset
from browline.paper.pocket_card import card_laid_out
from browline.services.materials.handouts.cards import HandedOut


def write_poster(handed: HandedOut, path: Path | str) -> Path:
    """Write the poster to `path` as PDF/UA-1 and PDF/A-2a; its paper may be a3 or us-tabloid as well."""
    return write_typeset("poster.typ", card_laid_out(handed), handed.made, Path(path))
