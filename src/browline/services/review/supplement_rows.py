"""What a review keeps beside its document: months and weeks, the model's and the audit's parts, files, versions."""

from typing import Required, TypedDict

from browline.services.review.audit_rows import AuditPart
from browline.services.review.model_rows import ModelPart
from browline.store.models import Review


class MonthRow(TypedDict, total=False):
    """A month: its readings, those that cannot be relied on, and why."""

    month: Required[str]
    readings: Required[int]
    unreliable: Required[int]
    why: dict[str, int]


class WeekRow(TypedDict):
    """A week of an instrument or a ward against the rest."""

    week: str
    n: int
    mean_c: float | None
    low_c: float | None
    high_c: float | None


class ExclusionRow(TypedDict):
    """Rows set aside for one reason."""

    code: str
    count: int
    sentence: str


class ImportRow(TypedDict):
    """A file in force, its rows accounted for."""

    label: str
    kind: str
    rows: int
    taken: int
    already_here: int
    set_aside: int
    repaired: int


class EventRow(TypedDict, total=False):
    """A dated event known to the book; of the whole hospital where no ward is said."""

    date: Required[str]
    what: Required[str]
    ward: str | None


class Supplement(TypedDict, total=False):
    """Everything that a review keeps beside its document; the last two come from the book when it is printed."""

    hospital: str
    tolerance_c: float
    false_share: float
    reviewed_at: str
    days: list[str | None]
    fit_outcome: str
    months: list[MonthRow]
    weeks: dict[str, dict[str, list[WeekRow]]]
    model: ModelPart | None
    exclusions: list[ExclusionRow]
    imports: list[ImportRow]
    can_answer: list[str]
    cannot_answer: list[str]
    requests: list[dict[str, str]]
    events: list[EventRow]
    versions: dict[str, str]
    audit: AuditPart
    decision: str
    owner: str


def supplement_in(review: Review | None) -> Supplement:
    """The supplement that a review keeps; an empty one without a review."""
    if review is None:
        return {}
    kept: Supplement = review.supplement
    return kept
