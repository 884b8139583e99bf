"""What a review keeps beside its document: months and weeks, the model's and the audit's parts, files, versions."""

from typing import Required, TypedDict

from browline.services.review.rows import MeasureRow
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


class GroupRow(TypedDict):
    """The spread among stays of one kind of care."""

    group: str
    patient_sd_c: float
    course_sd_c: float
    course_hours: float


class MovedRow(TypedDict):
    """The quick pairs' answer, were this share of first readings never charted."""

    share: float
    offset_c: float
    low_c: float
    high_c: float


class CheckRow(TypedDict):
    """A sign that was looked for between two sites."""

    sign: str
    answer: str
    sentence: str
    advice: str


class SitePart(TypedDict, total=False):
    """What the model says of a site beyond the contract."""

    site: Required[str]
    typical_c: float | None
    disagrees: bool
    pairs_level_c: float | None
    pairs_at_37: bool
    naive_c: float | None
    minutes: float | None
    uncharted: list[MovedRow]
    checks: list[CheckRow]


class Partner(TypedDict):
    """What a subject cannot be told from; a person is not named."""

    factor: str
    name: str


class EffectPart(TypedDict, total=False):
    """What the model says of an instrument or a ward beyond the contract."""

    typical_c: float | None
    chance: float | None
    drift_days: float | None
    drift_chance: float | None
    after_cleaning_c: float | None
    after_cleaning_sd_c: float | None
    earlier_c: float | None
    partners: list[Partner]


class TrendRow(TypedDict):
    """The trend of the months before sign-off."""

    slope_c: float
    low_c: float
    high_c: float
    sentence: str


class AroundMonth(TypedDict):
    """A month before or after sign-off."""

    month: int
    pooled: bool
    n: int
    people: int
    mean_c: float | None
    low_c: float | None
    high_c: float | None


class AroundPart(TypedDict, total=False):
    """The months around sign-off."""

    sentence: str
    months: list[AroundMonth]
    trend: TrendRow | None


class TrainingPart(TypedDict, total=False):
    """The grounds of the verdict on training."""

    comparator: str
    advice: str
    wards: Required[int]
    people_signed_off: Required[int]
    permutation_p: float | None
    why: list[str]
    beside: list[str]
    measures: list[MeasureRow]
    around: AroundPart


class ModelPart(TypedDict, total=False):
    """The joint model's part."""

    spread: dict[str, float | None]
    groups: list[GroupRow]
    sites: list[SitePart]
    instruments: dict[str, EffectPart]
    wards: dict[str, EffectPart]
    training: TrainingPart | None


class SignalRow(TypedDict, total=False):
    """One test of one ward as the audit answered it."""

    test: Required[str]
    outcome: Required[str]
    at: Required[str]
    since: Required[str | None]
    turned: str | None
    n: Required[int]
    effect: Required[float | None]
    low: Required[float | None]
    high: Required[float | None]
    observed: float | None
    expected: float | None
    least: float | None
    before: float | None
    after: float | None
    answer: Required[str]
    sentence: Required[str]
    causes: list[str]


class AuditWeek(TypedDict):
    """A week of a ward as the audit counted it."""

    week: str
    n: int
    favourite: int | None
    favourite_of: int | None
    site_missing: int
    unlikely: float


class AtHand(TypedDict):
    """Instruments of a ward, whence they are known, and patients read on a usual day."""

    instruments: float | None
    instruments_from: str
    patients: float | None


class AuditWard(AtHand):
    """A ward as the audit saw it."""

    ward: str
    care: str | None
    n: int
    unlikely: float
    signals: list[SignalRow]
    favourite: str | None
    favourite_expected: float | None
    weeks: list[AuditWeek]


class UnitRow(TypedDict):
    """Which unit an instrument's or a ward's numbers come from."""

    type: str
    subject: str
    n: int
    shows: str | None
    registered: str | None
    chance: float
    converted: float | None
    low: float | None
    high: float | None
    charted: str


class AuditPart(TypedDict, total=False):
    """The audit's part."""

    fever_c: float
    wards: list[AuditWard]
    units: list[UnitRow]


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
