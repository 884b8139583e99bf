"""What a finding asks of whom, and by when.

The terms are common practice, no source: a wrong unit misleads at every reading, so it is looked at the
same day; a thermometer that reads off within a week; habits of a ward within a fortnight.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from browline.store.models import Finding

DAYS = {
    "instrument-unit": 0,
    "instrument-mode": 2,
    "instrument-offset": 7,
    "instrument-drift": 7,
    "ward-offset": 14,
}
DAYS_OTHERWISE = 14

WHO = {
    "instrument": "you, with the ward that has it",
    "ward": "you, with the ward's manager",
    "person": "you, in private with the person",
    "site": "you",
    "book": "you, with the data team",
}

SUBJECTS = {
    "instrument": "Instrument",
    "ward": "Ward",
    "person": "Person",
    "site": "Site",
    "book": "This book",
}


@dataclass(frozen=True)
class Errand:
    """A finding as a thing to do: `by` is a suggested day, counted from the review that first found it."""

    finding: Finding
    who: str
    by: date
    overdue: bool

    @property
    def subject(self) -> str:
        """What it is about, by name."""
        kind, name = SUBJECTS.get(self.finding.subject_type, ""), self.finding.subject_id
        if self.finding.subject_type == "book":
            return kind
        # Many wards are called "Ward 3B" already.
        return name if name.lower().startswith(kind.lower()) else f"{kind} {name}"


def errand(finding: Finding, today: date) -> Errand:
    """The errand of one finding."""
    by = finding.first_review.at.date() + timedelta(days=DAYS.get(finding.kind, DAYS_OTHERWISE))
    return Errand(finding, WHO.get(finding.subject_type, "you"), by, overdue=by < today and is_open(finding))


def soonest_first(errands: Iterable[Errand]) -> list[Errand]:
    """What is due first stands first; on one day, in the order of the review."""
    return sorted(errands, key=lambda task: (task.by, task.finding.order, task.finding.pk))


def is_open(finding: Finding) -> bool:
    """Whether something is still to be done about it."""
    return finding.state in (Finding.NEW, Finding.STILL)
