"""What a review keeps of the joint model beyond the contract's document."""

from typing import Required, TypedDict

from browline.services.review.rows import MeasureRow


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
