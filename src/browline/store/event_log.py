"""The event log: every change is an event first, then what it changes, in one transaction.

    with recorded(actor, "champion", person, {"ward": ward}):
        Champion.objects.create(person_id=person, ward=ward)

A fault within the block takes both back. A block that had nothing to change raises `Unchanged`: no event stays, and
what follows the block goes on.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress

from django.db import transaction

from browline.store.models import Event


class Unchanged(Exception):
    """Raised within a recorded block that had nothing to change: its event is taken back."""


def write_event(
    actor: str, verb: str, subject: str | int = "", data: Mapping[str, object] | None = None
) -> Event:
    """Write an event that changes nothing else, or whose change lies outside the book's records."""
    return Event.objects.create(
        actor=actor[:80], verb=verb, subject=str(subject)[:120], data=dict(data or {})
    )


@contextmanager
def recorded(
    actor: str, verb: str, subject: str | int = "", data: Mapping[str, object] | None = None
) -> Iterator[Event]:
    """One change: its event, then what the block writes. Yields the event, for what is known after a write only."""
    with suppress(Unchanged), transaction.atomic():
        yield write_event(actor, verb, subject, data)
