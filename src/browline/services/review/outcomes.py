"""What came of a finding: a check's outcome is added, never changed; the finding is closed by it."""

from datetime import date, timedelta

from django.utils import timezone

from browline.errors import NotUnderstood
from browline.findings import (
    CHECKED,
    CLEARING,
    CLOSING,
    CONFIRMING,
    NEXT_AFTER,
    OUTCOMES,
    Chapter,
    finding_kind,
    kinds_in,
)
from browline.store.event_log import recorded
from browline.store.models import Finding, Outcome

WITHDRAWN_NEXT = (
    "Nothing because of this finding. If the instrument, the ward or a reading is in doubt for another reason, act on"
    " that: a second instrument, a check against a reference, local policy."
)


def record_outcome(finding_id: int, code: str, note: str, actor: str) -> None:
    """Add an outcome to a finding; one that ends the matter closes it. All of it is one transaction."""
    if code not in OUTCOMES:
        known = ", ".join(OUTCOMES)
        raise NotUnderstood(
            f"{code!r} is not an outcome.", f"The outcomes are: {known}.", "Choose one of these."
        )
    finding = Finding.objects.get(pk=finding_id)
    with recorded(actor, "outcome", finding.key, {"code": code}):
        Outcome.objects.create(finding=finding, code=code, note=note.strip()[:400], actor=actor)
        if code in CLOSING:
            Finding.objects.filter(pk=finding_id).update(state=Finding.CLOSED)


def confirmed_share() -> tuple[int, int, int]:
    """(flagged, checked, confirmed) over instruments ever flagged: "of 12 flagged, 9 confirmed on check".

    A flag that was withdrawn counts only where somebody checked it before.
    """
    flagged = Finding.objects.filter(subject_type="instrument", kind__in=kinds_in(Chapter.INSTRUMENTS))
    flagged = flagged.exclude(state=Finding.WITHDRAWN, outcomes=None)
    codes: dict[str, set[str]] = {}
    for name, code in flagged.values_list("subject_id", "outcomes__code"):
        codes.setdefault(name, set()).update({code} - {None})
    checked = [results for results in codes.values() if results & set(CHECKED)]
    return len(codes), len(checked), sum(bool(results & set(CONFIRMING)) for results in checked)


def next_step(finding: Finding) -> str:
    """What to do next: after the last outcome where one asks for more, else as the review said."""
    if finding.withdrawn:
        return WITHDRAWN_NEXT
    last = finding.outcomes.first()
    return NEXT_AFTER.get(last.code if last else "", str(finding.data["action"]))


def due_day(finding: Finding) -> date:
    """By when, counted from the review that first found it, or from now where the clock was ahead at that review."""
    start = min(finding.first_review.at, timezone.now())
    return start.date() + timedelta(days=finding_kind(finding.kind).due_days)


def cleared() -> set[str]:
    """Keys of findings whose last outcome says that nothing was wrong."""
    closed = Finding.objects.filter(state=Finding.CLOSED).prefetch_related("outcomes")
    return {f.key for f in closed if (last := f.outcomes.first()) is not None and last.code in CLEARING}
