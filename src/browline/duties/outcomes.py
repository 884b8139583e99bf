"""What came of a finding: a check's outcome is added, never changed; the finding is closed by it."""

from browline.errors import NotUnderstood
from browline.findings import CONFIRMING, OUTCOMES

NOTE_LABEL = "No patient or staff names; may be disclosed."


def record_outcome(finding_id: int, code: str, note: str, actor: str) -> None:
    """Add an outcome to a finding and close it; the event, the outcome and the state are one transaction."""
    from django.db import transaction

    from browline.store.models import Event, Finding, Outcome

    if code not in OUTCOMES:
        known = ", ".join(OUTCOMES)
        raise NotUnderstood(
            f"{code!r} is not an outcome.", f"The outcomes are: {known}.", "Choose one of these."
        )
    with transaction.atomic():
        finding = Finding.objects.get(pk=finding_id)
        Event.objects.create(actor=actor, verb="outcome", subject=finding.key[:120], data={"code": code})
        Outcome.objects.create(finding=finding, code=code, note=note.strip()[:400], actor=actor)
        Finding.objects.filter(pk=finding_id).update(state=Finding.CLOSED)


def confirmed_share() -> tuple[int, int, int]:
    """(flagged, checked, confirmed) over instruments ever flagged: "of 12 flagged, 9 confirmed on check"."""
    from browline.store.models import Finding

    found = Finding.objects.filter(subject_type="instrument", kind__startswith="instrument-")
    codes: dict[str, set[str]] = {}
    for name, code in found.values_list("subject_id", "outcomes__code"):
        codes.setdefault(name, set()).update({code} - {None})
    checked = [said - {"not-found"} for said in codes.values() if said - {"not-found"}]
    return len(codes), len(checked), sum(bool(said & set(CONFIRMING)) for said in checked)
