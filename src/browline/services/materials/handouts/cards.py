"""Hand-outs made from controlled documents: which version is in use, how it stands, what has been replaced.

    handed_out("pocket-card", now) -> HandedOut        replaced("pocket-card", today) -> [Replaced, ...]

A version that is not in force is handed out with the word across it. A fever line that was changed after approval
makes everything that prints it a DRAFT again: it was approved with another number.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise
from typing import TypeVar, cast

from browline import display
from browline.errors import NotUnderstood
from browline.quantities.both_units import FEVER, both_units
from browline.services.book.event_order import set_after
from browline.services.book.preferences import choice
from browline.services.materials import documents
from browline.services.materials.body import Body
from browline.store.event_log import write_event
from browline.store.models import ControlledDocument, Event

T = TypeVar("T")

HANDED = "hand-out"
PAPERS = ("a4", "us-letter")
LARGE = ("a3", "us-tabloid")


@dataclass(frozen=True)
class HandOut:
    """A hand-out: its name in commands, its title, the document it is made from, what it is for."""

    name: str
    title: str
    kind: str
    about: str
    papers: tuple[str, ...] = PAPERS


HAND_OUTS: dict[str, HandOut] = {
    hand_out.name: hand_out
    for hand_out in (
        HandOut("pocket-card", "Pocket card", "pocket-card", "Eight on a page, to cut and carry."),
        HandOut("poster", "Poster", "pocket-card", "The same lines, to hang where instruments stand.",
                papers=PAPERS + LARGE),
        HandOut("site-card", "Site and cover card", "site-and-cover", "The chooser’s rules, to read from the top."),
        HandOut("site-card-reasons", "Site and cover: why, and on whose word", "site-and-cover",
                "The reason, the source and the published figure behind every line of the card."),
        HandOut("teach-back", "Teach-back sheet", "common-errors", "Common errors, why, and words to say."),
        HandOut("questions", "Questions a class asks", "class-questions", "Each with its published figure."),
        HandOut("pathway", "Pathway for a questioned reading", "questioned-reading-pathway",
                "What to do at the bedside, escalation first. One side."),
    )
}  # fmt: skip


@dataclass(frozen=True)
class HandedOut:
    """A hand-out ready to be set: every text of `body` in both units; `mark` goes across it, empty in force."""

    hand_out: HandOut
    body: Body
    version: int
    owner: str
    source: str
    approved: date | None
    expires: date | None
    standing: str
    mark: str
    fever_c: float
    unit: str
    made: datetime
    hospital: str
    paper: str


@dataclass(frozen=True)
class Replaced:
    """An earlier version: when it was replaced, and when it was last handed out from here, if ever."""

    version: int
    expires: date | None
    replaced: date
    handed: datetime | None


def handed_out(name: str, now: datetime, paper: str = "") -> HandedOut:
    """The hand-out as it is in use at this moment, on the paper in force unless another is named."""
    if name not in HAND_OUTS:
        raise NotUnderstood(
            f"There is no hand-out {name!r}.", f"There are {', '.join(HAND_OUTS)}.", "Choose one."
        )
    hand_out, paper = HAND_OUTS[name], paper or choice("paper")
    check_paper(paper, hand_out.papers)
    document = documents.in_force(hand_out.kind, now.date())
    return HandedOut(
        hand_out=hand_out,
        body=worded(document.body),
        version=document.version,
        owner=document.owner,
        source=document.source,
        approved=document.approved,
        expires=document.expires,
        standing=status(document, now.date()),
        mark=mark(document, now.date()),
        fever_c=choice("fever_c"),
        unit=choice("show_unit"),
        made=now,
        hospital=choice("hospital"),
        paper=paper,
    )


def check_paper(paper: str, papers: tuple[str, ...] = PAPERS) -> None:
    """Refuse a paper that this hand-out is not set on."""
    if paper not in papers:
        raise NotUnderstood(
            f"{paper!r} is no paper for it.", f"It is set on {', '.join(papers)}.", "Choose one."
        )


def mark(document: ControlledDocument, today: date) -> str:
    """The word across a hand-out that is not in force; empty where it is."""
    return documents.mark(document, today) or ("DRAFT" if line_moved(document) else "")


def status(document: ControlledDocument, today: date) -> str:
    """How a version stands, in words."""
    moved = None if document.draft else line_moved(document)
    if moved is not None:
        return f"DRAFT: the fever line was changed on {display.day(moved)}, after approval"
    return documents.status(document, today)


def line_moved(document: ControlledDocument) -> datetime | None:
    """When the fever line was last changed after this version was written, if the version prints it."""
    if document.made is None or FEVER not in str(document.body):
        return None
    return set_after("fever_c", document)


def worded(body: T) -> T:
    """A body with every marked temperature in both units, the one chosen for this book first."""
    return worded_in(body, choice("show_unit"), choice("fever_c"))


def worded_in(part: T, unit: str, fever_c: float) -> T:
    """A body, or a part of one, with every marked temperature in both units, `unit` first."""
    return cast(T, _worded(part, unit, fever_c))


def _worded(part: object, unit: str, fever_c: float) -> object:
    if isinstance(part, str):
        return both_units(part, unit, fever_c)
    if isinstance(part, Mapping):
        return {key: _worded(value, unit, fever_c) for key, value in part.items()}
    return [_worded(item, unit, fever_c) for item in part] if isinstance(part, list) else part


def replaced(name: str, today: date) -> list[Replaced]:
    """Versions older than the one in use, latest first: cards that should no longer be found on a ward."""
    versions = documents.history(HAND_OUTS[name].kind)
    now = documents.in_force(HAND_OUTS[name].kind, today).version
    later = {older.version: newer for newer, older in pairwise(versions)}
    return [
        Replaced(
            version.version,
            version.expires,
            later[version.version].made.date(),
            _last_handed(name, version.version),
        )
        for version in versions
        if version.version < now
    ]


def _last_handed(name: str, version: int) -> datetime | None:
    last = Event.objects.filter(verb=HANDED, subject=name, data__version=version).first()
    return None if last is None else last.at


def note_handed_out(handed: HandedOut, actor: str) -> None:
    """Note that a copy was taken, so that copies of a version that is replaced later can be called in."""
    data = {"version": handed.version, "standing": handed.standing}
    write_event(actor, HANDED, handed.hand_out.name, data)
