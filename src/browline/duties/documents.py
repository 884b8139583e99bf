"""Controlled documents: the version in force, a new version, the history. Nothing is written over.

The defaults come with the program and are a DRAFT of version 1 until somebody fills in owner, source, approval
and expiry. In force is the latest version that is approved and not expired; a later draft does not push it out.
Where there is none, the latest stands in, as the draft it is.
"""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from importlib import import_module
from typing import Any

from browline.controlled import Layout, checked
from browline.errors import InputRefused, NotUnderstood

# Each module gives LAYOUT, its shape, default(), the body of version 1, and may give check(body), which refuses.
MODULES = {
    "checklist": "browline.skills.checklist",
    "site-and-cover": "browline.site_choice.rules",
    "pocket-card": "browline.lessons.pocket_card",
    "class-questions": "browline.lessons.questions",
    "common-errors": "browline.lessons.errors",
    "questioned-reading-pathway": "browline.lessons.pathway",
}


@dataclass(frozen=True)
class Approval:
    """What a document needs before it stops being a DRAFT."""

    owner: str = ""
    source: str = ""
    approved: date | None = None
    expires: date | None = None


def layout(kind: str) -> Layout:
    """The fields of a kind of document."""
    return _module(kind).LAYOUT  # type: ignore[no-any-return]


def latest(kind: str) -> Any:
    """The latest version; where none was ever made, the default as an unsaved DRAFT of version 1."""
    from browline.store.models import ControlledDocument

    found = ControlledDocument.objects.filter(kind=kind).first()
    if found is not None:
        return found
    body = checked(layout(kind), _module(kind).default())
    return ControlledDocument(kind=kind, version=1, body=body, actor="browline")


def in_force(kind: str, today: date) -> Any:
    """The version to work by on `today`."""
    versions = history(kind)
    return next((one for one in versions if not mark(one, today)), versions[0])


def kept(kind: str, today: date) -> Any:
    """The version in force as a record that others can point to; the default is written down when first needed."""
    _write_default(kind)
    return in_force(kind, today)


def _write_default(kind: str) -> None:
    from django.db import IntegrityError, transaction

    found = latest(kind)
    if found.pk is None:
        with suppress(IntegrityError), transaction.atomic():
            # Somebody else may write it down in the same moment.
            found.save()


def history(kind: str) -> list[Any]:
    """Every version, latest first."""
    from browline.store.models import ControlledDocument

    return list(ControlledDocument.objects.filter(kind=kind)) or [latest(kind)]


def new_version(kind: str, body: Mapping[str, Any], approval: Approval, *, read: int, actor: str) -> Any:
    """Write the next version after the one that was `read`; refused where another came in between."""
    from django.db import IntegrityError, transaction

    from browline.store.models import ControlledDocument, Event

    if approval.approved and approval.expires and approval.expires <= approval.approved:
        raise NotUnderstood(
            "It would expire before it is approved.",
            "Expiry comes after approval.",
            "Change one of the dates.",
        )
    whole = checked(layout(kind), body)
    if hasattr(_module(kind), "check"):
        _module(kind).check(whole)
    document = ControlledDocument(kind=kind, version=read + 1, body=whole, actor=actor, **vars(approval))
    _write_default(kind)
    try:
        with transaction.atomic():
            document.save()
            Event.objects.create(actor=actor, verb="document", subject=kind, data={"version": read + 1})
    except IntegrityError as fault:
        raise InputRefused(
            f"Version {read + 1} was written by somebody else in the meantime.",
            "A version is never written over.",
            "Open the document again and enter the change in the version that now stands.",
        ) from fault
    return document


def mark(document: Any, today: date) -> str:
    """The word across what is printed from a version that is not in force; empty where it is."""
    if document.draft:
        return "DRAFT"
    if document.approved > today:
        return "NOT YET"
    return "EXPIRED" if document.expires < today else ""


def standing(document: Any, today: date) -> str:
    """How a version stands today, in words."""
    word = mark(document, today)
    if word == "DRAFT":
        return word
    if word == "NOT YET":
        return f"approved from {document.approved:%d %b %Y}"
    return f"{word or 'in force until'} {document.expires:%d %b %Y}"


def _module(kind: str) -> Any:
    if kind not in MODULES:
        raise NotUnderstood(
            f"There is no document {kind!r}.", f"There are {', '.join(MODULES)}.", "Choose one."
        )
    return import_module(MODULES[kind])
