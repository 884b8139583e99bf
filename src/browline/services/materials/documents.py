"""Controlled documents: the version in force, a new version, the history. Nothing is written over.

The defaults come with the program and are a DRAFT of version 1 until somebody fills in owner, source, approval
and expiry. In force is the latest version that is approved and not expired; a later draft does not push it out.
Where there is none, the latest stands in, as the draft it is.

Nothing is approved unseen: `changes_to_approve` gives every line that differs from the version approved before, and
the approval brings its token. A version approved before lines were shown is a DRAFT to be read again; it stands in
before others.
"""

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from importlib import import_module
from typing import Protocol, cast

from django.db import IntegrityError, transaction

from browline import display
from browline.controlled import Layout, checked
from browline.errors import InputRefused, NotUnderstood
from browline.services.materials.body import Body
from browline.services.materials.changed_rows import Changed, changes
from browline.store.event_log import recorded
from browline.store.models import ControlledDocument, Event

# Each module gives LAYOUT, its shape, default(), the body of version 1, and may give check(body), which refuses.
MODULES = {
    "checklist": "browline.competency.checklist",
    "site-and-cover": "browline.site_choice.rules",
    "pocket-card": "browline.materials.pocket_card",
    "class-questions": "browline.materials.questions",
    "common-errors": "browline.materials.errors",
    "questioned-reading-pathway": "browline.materials.pathway",
}


READ_AGAIN = "DRAFT: read again, approved before changed lines were shown"


@dataclass(frozen=True)
class Approval:
    """What a document needs before it stops being a DRAFT."""

    owner: str = ""
    source: str = ""
    approved: date | None = None
    expires: date | None = None


@dataclass(frozen=True)
class ChangesToApprove:
    """What whoever approves has to see: the lines that differ from `against`, the version approved before.

    `against` 0: the text as it comes with the program, where no version was approved with its lines shown. `token`
    goes with the approval and is good for these lines alone.
    """

    against: int
    lines: tuple[Changed, ...]
    token: str


class Module(Protocol):
    """The room's file of a kind of document."""

    LAYOUT: Layout

    def default(self) -> Mapping[str, object]:
        """The body of version 1."""


def layout(kind: str) -> Layout:
    """The fields of a kind of document."""
    return _module(kind).LAYOUT


def latest(kind: str) -> ControlledDocument:
    """The latest version; where none was ever made, the default as an unsaved DRAFT of version 1."""
    document: ControlledDocument | None = ControlledDocument.objects.filter(kind=kind).first()
    if document is not None:
        return document
    return ControlledDocument(kind=kind, version=1, body=_default(kind), actor="browline")


def in_force(kind: str, today: date) -> ControlledDocument:
    """The version to work by on `today`."""
    versions = history(kind)
    ready = (version for version in versions if not mark(version, today))
    again = (version for version in versions if version.read_again and _spans(version, today))
    return next(ready, None) or next(again, versions[0])


def _spans(document: ControlledDocument, today: date) -> bool:
    """Whether the dates on a version hold today, whatever else it lacks."""
    if document.approved is None or document.expires is None:
        return False
    return document.approved <= today <= document.expires


def changes_to_approve(kind: str, body: Mapping[str, object]) -> ChangesToApprove:
    """What approving this body would change; refused where the body is."""
    return _beside(kind, _whole(kind, body))


def version_changes(document: ControlledDocument) -> ChangesToApprove:
    """The same of a version as it stands, also of one that an editor would refuse today."""
    return _beside(document.kind, document.body)


def _beside(kind: str, whole: Body) -> ChangesToApprove:
    before = next((version for version in history(kind) if not version.draft), None)
    old: Body = _default(kind) if before is None else before.body
    against, lines = 0 if before is None else before.version, changes(layout(kind), old, whole)
    content = json.dumps([kind, against, dict(whole), [vars(line) for line in lines]], sort_keys=True)
    return ChangesToApprove(against, lines, sha256(content.encode()).hexdigest())


def _default(kind: str) -> Body:
    return _checked(kind, _module(kind).default())


def _whole(kind: str, body: Mapping[str, object]) -> Body:
    whole, check = _checked(kind, body), getattr(_module(kind), "check", None)
    if check is not None:
        check(whole)
    return whole


def _checked(kind: str, body: Mapping[str, object]) -> Body:
    return cast(Body, checked(layout(kind), body))


def stored(kind: str, today: date) -> ControlledDocument:
    """The version in force as a record that others can point to; the default is written down when first needed."""
    _write_default(kind)
    return in_force(kind, today)


def _write_default(kind: str) -> None:
    document = latest(kind)
    if document.pk is None:
        with suppress(IntegrityError), transaction.atomic():
            # Somebody else may write it down in the same moment.
            document.save()


def history(kind: str) -> list[ControlledDocument]:
    """Every version, latest first."""
    return list(ControlledDocument.objects.filter(kind=kind)) or [latest(kind)]


def new_version(
    kind: str, body: Mapping[str, object], approval: Approval, *, read: int, actor: str, token: str = ""
) -> ControlledDocument:
    """Write the next version after the one that was `read`; refused where another came in between.

    An approval needs the `token` of its `changes_to_approve`.
    """
    if approval.approved and approval.expires and approval.expires <= approval.approved:
        raise NotUnderstood(
            "It would expire before it is approved.",
            "Expiry comes after approval.",
            "Change one of the dates.",
        )
    whole = _whole(kind, body)
    document = ControlledDocument(kind=kind, version=read + 1, body=whole, actor=actor, **vars(approval))
    document.seen = _approved_lines(kind, whole, token) if document.filled else None
    _write_default(kind)
    try:
        with recorded(actor, "document", kind, {"version": read + 1}):
            document.save()
    except IntegrityError as fault:
        raise InputRefused(
            f"Version {read + 1} was written by somebody else in the meantime.",
            "A version is never written over.",
            "Open the document again and enter the change in the version that now stands.",
        ) from fault
    return document


def _approved_lines(kind: str, whole: Body, token: str) -> dict[str, object]:
    """What is kept of what the approver was shown; refused where it was not this."""
    expected = changes_to_approve(kind, dict(whole))
    if token != expected.token:
        raise NotUnderstood(
            "It was to be approved unseen.",
            "Every changed line is read beside the old one first.",
            "Open the document, choose to have it approved, and read the lines.",
        )
    return {"against": expected.against, "lines": [vars(line) for line in expected.lines]}


def mark(document: ControlledDocument, today: date) -> str:
    """The word across what is printed from a version that is not in force; empty where it is."""
    if document.draft or document.approved is None or document.expires is None:
        return "DRAFT"
    if document.approved > today:
        return "NOT YET"
    return "EXPIRED" if document.expires < today else ""


def status(document: ControlledDocument, today: date) -> str:
    """How a version stands today, in words."""
    word = mark(document, today)
    if word == "DRAFT" or document.approved is None or document.expires is None:
        return READ_AGAIN if document.read_again else word
    return _dated(document.approved, document.expires, word)


def status_on(document: ControlledDocument, day: date) -> str:
    """How a version stood on a past day, by what held then: to be read again only since it was sent back."""
    if not document.read_again or document.approved is None or document.expires is None:
        return status(document, day)
    sent = Event.objects.filter(
        verb="read-again", subject=document.kind, data__version=document.version
    ).last()
    if sent is not None and sent.at.date() <= day:
        return READ_AGAIN
    word = "NOT YET" if document.approved > day else "EXPIRED" if document.expires < day else ""
    return _dated(document.approved, document.expires, word)


def _dated(approved: date, expires: date, word: str) -> str:
    if word == "NOT YET":
        return f"approved from {display.day(approved)}"
    return f"{word or 'in force until'} {display.day(expires)}"


def _module(kind: str) -> Module:
    if kind not in MODULES:
        raise NotUnderstood(
            f"There is no document {kind!r}.", f"There are {', '.join(MODULES)}.", "Choose one."
        )
    return cast(Module, import_module(MODULES[kind]))
