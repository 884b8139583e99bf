"""Findings taken back: each by an event with its reason, never silently."""

from collections.abc import Iterable
from typing import Any

from browline.store.models import Event, Finding


def withdraw(findings: Iterable[Any], reason: str, *, actor: str) -> None:
    """Withdraw findings that are open; to be called within a transaction."""
    from django.utils import timezone

    at = timezone.now().isoformat(timespec="seconds")
    for finding in findings:
        Event.objects.create(
            actor=actor, verb="withdrawn", subject=finding.key[:120], data={"reason": reason}
        )
        finding.state = Finding.WITHDRAWN
        finding.data = {**finding.data, "withdrawn": {"reason": reason, "at": at}}
        finding.save()
