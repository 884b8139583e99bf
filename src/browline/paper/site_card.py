"""The site and cover card: the chooser's rules to be read from the top; and each rule's reason and source."""

from pathlib import Path

from browline.paper.hand_out import controlled
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts.cards import HandedOut
from browline.site_choice import DEFERS, ESCALATE, Line, Part, card, rules_of

ABOUT = "Which site, which cover, how long to wait, and what to do instead: the same rules as on the screen."
REASONS = (
    "The lines are numbered as on the card. Published figures were read as abstracts or in secondary sources; check "
    "the paper before the card is approved."
)


def write_site_card(handed: HandedOut, path: Path | str) -> Path:
    """Write the card to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("site_card.typ", site_card_laid_out(handed), handed.made, Path(path))


def write_site_card_reasons(handed: HandedOut, path: Path | str) -> Path:
    """Write the reasons to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    content = site_card_laid_out(handed, REASONS)
    return write_typeset("site_card_reasons.typ", content, handed.made, Path(path))


def site_card_laid_out(handed: HandedOut, about: str = ABOUT) -> dict[str, object]:
    """The card, or its reasons, as nested dicts of texts."""
    parts = card(rules_of(handed.body))
    return {
        **controlled(handed, about),
        "escalate": ESCALATE,
        "defers": DEFERS,
        "parts": [_part(part) for part in parts],
    }


def _part(part: Part) -> dict[str, object]:
    return {"title": part.title, "how": part.how, "lines": [_line(line) for line in part.lines]}


def _line(line: Line) -> dict[str, str]:
    about = ("site", "fallback", "ruled-out")
    return {
        "when": " and ".join(line.when) or "always",
        "unless": "; ".join(" and ".join(group) for group in line.unless),
        "about": "" if line.rule.kind in about else "; ".join(line.sites),
        "says": line.says,
        "why": line.rule.why,
        "source": line.rule.source,
        "published": line.rule.published,
    }
