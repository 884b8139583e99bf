"""What every hand-out prints alike: its title, whose it is, how it stands, when it was made, the caution."""

from datetime import datetime
from typing import Any

from django.utils import timezone

from browline.paper.layout import clock, region

CAUTION = (
    "This supports teaching; it does not diagnose. Local policy and licensed judgement come first. "
    "A patient who looks ill is escalated whatever the number says."
)


def hand_out(title: str, about: str, *, hospital: str, paper: str, made: datetime) -> dict[str, Any]:
    """The parts of a hand-out that do not depend on which one it is."""
    return {
        "title": title,
        "about": about,
        "author": hospital or "browline",
        "hospital": hospital,
        "paper": paper,
        "region": region(paper),
        "caution": CAUTION,
        "made": f"printed {clock(timezone.localtime(made))}",
        "mark": "",
    }
