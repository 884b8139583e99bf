"""Controlled documents: the version in force, a new version, the history. Nothing is written over.

The defaults come with the program and are a DRAFT of version 1 until somebody fills in owner, source, approval
and expiry.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from importlib import import_module
from typing import Any

from browline.controlled import Layout, checked
from browline.errors import InputRefused, NotUnderstood

# Each module gives LAYOUT, its shape, and default(), the body of version 1.
MODULES = {
    "checklist": "browline.skills.checklist",
    "site-and-cover": "browline.site_choice.rules",
    "pocket-card": "browline.lessons.pocket_card",
    "class-questions": "browline.lessons.questions",
    "common-errors": "browline.lessons.errors",
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


def in_force(kind: str) -> Any:
    """The latest version; where none was ever made, the default as an unsaved DRAFT of version 1."""
    from browline.store.models import ControlledDocument

    latest = ControlledDocument.objects.filter(kind=kind).first()
    if latest is not None:
        return latest
    body = checked(layout(kind), _module(kind).default())
    return ControlledDocument(kind=kind, version=1, body=body, actor="browline")


def kept(kind: str) -> Any:
    """The version in force as a record that others can point to; the default is written down when first needed."""
    from django.db import IntegrityError, transaction

    found = in_force(kind)
    if found.pk is None:
        try:
            with transaction.atomic():
                found.save()
        except IntegrityError:
            return in_force(kind)
    return found


def history(kind: str) -> list[Any]:
    """Every version, latest first."""
    from browline.store.models import ControlledDocument

    return list(ControlledDocument.objects.filter(kind=kind)) or [in_force(kind)]


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
    document = ControlledDocument(
        kind=kind, version=read + 1, body=checked(layout(kind), body), actor=actor, **vars(approval)
    )
    kept(kind)
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


def standing(document: Any, today: date) -> str:
    """How a document stands today, as it is printed across or at its foot.

    `DRAFT`, `EXPIRED 07 Mar 2026`, or `in force until 07 Mar 2026`.
    """
    if document.draft:
        return "DRAFT"
    if document.approved > today:
        return f"approved from {document.approved:%d %b %Y}"
    word = "EXPIRED" if document.expires < today else "in force until"
    return f"{word} {document.expires:%d %b %Y}"


def _module(kind: str) -> Any:
    if kind not in MODULES:
        raise NotUnderstood(
            f"There is no document {kind!r}.", f"There are {', '.join(MODULES)}.", "Choose one."
        )
    return import_module(MODULES[kind])
