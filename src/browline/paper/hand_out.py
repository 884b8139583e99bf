"""What every hand-out prints alike: its title, whose it is, how it stands, when it was made, the caution."""

from datetime import date, datetime

from django.utils import timezone

from browline import display
from browline.paper.layout import clock, region
from browline.services.materials.handouts.cards import HandedOut

CAUTION = (
    "This supports teaching; it does not diagnose. Local policy and licensed judgement come first. "
    "A patient who looks ill is escalated whatever the number says."
)


def hand_out(title: str, about: str, *, hospital: str, paper: str, created: datetime) -> dict[str, object]:
    """The parts of a hand-out that do not depend on which one it is."""
    return {
        "title": title,
        "about": about,
        "author": hospital or "browline",
        "hospital": hospital,
        "paper": paper,
        "region": region(paper),
        "caution": CAUTION,
        "made": f"printed {clock(timezone.localtime(created))}",
        "mark": "",
    }


def controlled(handed: HandedOut, about: str) -> dict[str, object]:
    """The parts of a hand-out made from a controlled document: how it stands, and the word across it."""
    parts = hand_out(
        handed.hand_out.title, about, hospital=handed.hospital, paper=handed.paper, created=handed.made
    )
    return {
        **parts,
        "mark": handed.mark,
        "standing": f"version {handed.version}, {handed.standing}",
        "identity": identity(handed),
    }


def identity(handed: HandedOut) -> list[str]:
    """Version, owner, source, approval and expiry; what nobody has filled in is said to be missing."""
    return [
        f"Version {handed.version}",
        f"Owner: {handed.owner or 'not filled'}",
        f"Source: {handed.source or 'not filled'}",
        f"Approved: {_day(handed.approved)}",
        f"Expires: {_day(handed.expires)}",
    ]


def _day(when: date | None) -> str:
    return display.day(when) if when else "not filled"
