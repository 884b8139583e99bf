"""Findings taken back: each by an event with its reason, never silently."""

from collections.abc import Iterable
from typing import Any

from django.utils import timezone

from browline.store.event_log import recorded
from browline.store.models import Finding


def withdraw(findings: Iterable[Any], reason: str, *, actor: str) -> None:
    """Withdraw findings that are open; to be called within a transaction."""
    time = timezone.now().isoformat(timespec="seconds")
    for finding in findings:
        with recorded(actor, "withdrawn", finding.key, {"reason": reason}):
            finding.state = Finding.WITHDRAWN
            finding.data = {**finding.data, "withdrawn": {"reason": reason, "at": time}}
            finding.save()
