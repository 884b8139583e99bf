"""What a finding asks of whom, and by when."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from browline.findings import BOOK, SUBJECTS
from browline.services.review.outcomes import due_day, next_step
from browline.store.models import Finding


@dataclass(frozen=True)
class FindingTask:
    """A finding as a thing to do: who, `by` which suggested day, the next `step`, whether it is overdue."""

    finding: Finding
    who: str
    by: date
    step: str
    overdue: bool

    @property
    def subject(self) -> str:
        """What it is about, by name."""
        about, name = SUBJECTS[self.finding.subject_type], self.finding.subject_id
        if about is BOOK:
            return about.title
        # Many wards are called "Ward 3B" already.
        return name if name.lower().startswith(about.title.lower()) else f"{about.title} {name}"


def finding_task(finding: Finding, today: date) -> FindingTask:
    """What one finding asks."""
    by, step = due_day(finding), next_step(finding)
    return FindingTask(
        finding=finding,
        who=SUBJECTS[finding.subject_type].owner,
        by=by,
        step=step,
        overdue=by < today and finding.open,
    )


def soonest_first(tasks: Iterable[FindingTask]) -> list[FindingTask]:
    """What is due first stands first; on one day, in the order of the review."""
    return sorted(tasks, key=lambda task: (task.by, task.finding.order, task.finding.pk))
