"""What was done after what: told by the order in which the events were written, never by clocks.

Every deed writes its event in its own transaction, so the numbers of events order deeds on different tables. A clock
that was a year ahead at a review would else hide every file, outcome and choice of that year.
"""

from datetime import datetime

from browline.store.models import ControlledDocument, Event, Finding, Import, Outcome, Review

FIRST_LETTERS = 120  # of a finding's key, as the event of an outcome has it


def imports_after(review: Review) -> int:
    """How many imports in force came in after a review."""
    live, place = Import.objects.in_force(), _place("review", f"review {review.pk}")
    if place is None:
        return live.filter(at__gt=review.at).count()
    event_data = Event.objects.filter(verb="import", pk__gt=place).values_list("data", flat=True)
    return live.filter(pk__in={number for data in event_data for number in data["imports"]}).count()


def outcomes_after(review: Review) -> list[tuple[str, str]]:
    """Instrument and code of every outcome entered after a review, the latest last."""
    findings = Finding.objects.filter(subject_type="instrument")
    place = _place("review", f"review {review.pk}")
    if place is None:
        later = Outcome.objects.filter(finding__in=findings, at__gt=review.at).order_by("pk")
        return list(later.values_list("finding__subject_id", "code"))
    names = {key[:FIRST_LETTERS]: name for key, name in findings.values_list("key", "subject_id")}
    outcomes = (
        Event.objects.filter(verb="outcome", pk__gt=place).order_by("pk").values_list("subject", "data")
    )
    return [(names[key], data["code"]) for key, data in outcomes if key in names]


def set_after(choice: str, document: ControlledDocument) -> datetime | None:
    """When a choice was last set after this version of a document was written, by the clock of then; or None."""
    place = _place("document", document.kind, data__version=document.version)
    written: dict[str, datetime | int] = {"at__gt": document.made} if place is None else {"pk__gt": place}
    moved = Event.objects.filter(verb="set", subject=choice, **written).first()
    return None if moved is None else moved.at


def _place(verb: str, subject: str, **data: int) -> int | None:
    """The number of the last such event; None where none was written."""
    return Event.objects.filter(verb=verb, subject=subject, **data).values_list("pk", flat=True).first()
