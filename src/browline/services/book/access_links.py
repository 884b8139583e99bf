"""Passes: a link that gives its bearer the right to some pages until it ends or is taken back.

The link is shown once, when it is made; the book keeps its digest only.
"""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.utils import timezone

from browline.errors import NotUnderstood
from browline.roles import ASSESSOR, EDUCATOR, PERSON, ROLES
from browline.store.event_log import Unchanged, recorded
from browline.store.models import Pass, Person
from browline.store.models.account import PassRows

LONGEST = timedelta(days=31)


def issue(role: str, *, person: Person | None = None, until: datetime, label: str = "", actor: str) -> str:
    """Make a pass and return what its link holds. A pass to assess, or to the own record, is somebody's."""
    if role not in ROLES or role == EDUCATOR:
        raise NotUnderstood(
            f"A pass cannot be for {role!r}.", "It is for an assessor, a viewer or a person.", "Choose one."
        )
    if role in (ASSESSOR, PERSON) and person is None:
        raise NotUnderstood(
            f"A pass for {role} was asked for without saying whose it is.",
            "What is recorded with it must name somebody.",
            "Choose the person.",
        )
    if not timezone.now() < until <= timezone.now() + LONGEST:
        raise NotUnderstood(
            "This pass would end in the past or later than in a month.",
            "A pass that lives long is found by others.",
            "Choose an end within a month.",
        )
    token = secrets.token_urlsafe(24)
    with recorded(actor, "pass", data={"role": role}) as event:
        link = Pass.objects.create(
            digest=_digest(token), role=role, person=person, label=label, until=until, actor=actor
        )
        event.about(link.pk)
    return token


def by_token(token: str) -> Pass | None:
    """The pass a link stands for, while it is valid; else None."""
    return _while_valid(Pass.objects.filter(digest=_digest(token)))


def valid(number: int | None) -> Pass | None:
    """The pass of this number, while it is valid; else None."""
    return None if number is None else _while_valid(Pass.objects.filter(pk=number))


def revoke(number: int, actor: str) -> None:
    """Take a pass back; it stops working with the next request."""
    with recorded(actor, "pass-revoked", number):
        if not Pass.objects.filter(pk=number, revoked=None).update(revoked=timezone.now()):
            raise Unchanged


def actor(bearer: Pass) -> str:
    """The name under which the bearer's deeds are recorded."""
    return f"{bearer.role} {bearer.person.identifier}"[:80] if bearer.person else f"{bearer.role} {bearer.pk}"


def _while_valid(passes: PassRows) -> Pass | None:
    return passes.valid(timezone.now()).select_related("person").first()


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
