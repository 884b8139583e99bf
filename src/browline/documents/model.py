"""The joint model's part of a review's supplement: what the contract has no field for."""

from msgspec import Struct, field

from browline.documents.encoding import Number


class ModelSpread(Struct, frozen=True, kw_only=True):
    """Standard deviations in °C by source, and the hours over which a stay's course is alike."""

    patient_sd_c: Number | None = None
    course_sd_c: Number | None = None
    course_hours: Number | None = None
    at_site_sd_c: Number | None = None
    ward_sd_c: Number | None = None
    month_sd_c: Number | None = None
    instrument_sd_c: Number | None = None
    person_sd_c: Number | None = None
    reading_sd_c: Number | None = None


class GroupRow(Struct, frozen=True, kw_only=True):
    """The spread among stays of one kind of care."""

    group: str
    patient_sd_c: Number
    course_sd_c: Number
    course_hours: Number


class UnchartedRow(Struct, frozen=True, kw_only=True):
    """The quick pairs' answer, were this share of first readings never charted."""

    share: Number
    offset_c: Number
    low_c: Number
    high_c: Number


class CheckRow(Struct, frozen=True, kw_only=True):
    """A sign that was looked for between two sites."""

    sign: str
    answer: str
    sentence: str
    advice: str


class SitePart(Struct, frozen=True, kw_only=True):
    """What the model says of a site beyond the contract."""

    site: str
    typical_c: Number | None = None
    disagrees: bool = False
    pairs_level_c: Number | None = None
    pairs_at_37: bool = False
    naive_c: Number | None = None
    minutes: Number | None = None
    uncharted: tuple[UnchartedRow, ...] = ()
    checks: tuple[CheckRow, ...] = ()


class PartnerRow(Struct, frozen=True, kw_only=True):
    """What a subject cannot be told from; a person is not named."""

    factor: str
    name: str


class EffectPart(Struct, frozen=True, kw_only=True):
    """What the model says of an instrument or a ward beyond the contract."""

    typical_c: Number | None = None
    chance: Number | None = None
    drift_days: Number | None = None
    drift_chance: Number | None = None
    after_cleaning_c: Number | None = None
    after_cleaning_sd_c: Number | None = None
    earlier_c: Number | None = None
    partners: tuple[PartnerRow, ...] = ()


class TrendRow(Struct, frozen=True, kw_only=True):
    """The trend of the months before sign-off, °C a month."""

    slope_c: Number
    low_c: Number
    high_c: Number
    sentence: str


class AroundMonth(Struct, frozen=True, kw_only=True):
    """A month before or after sign-off: -1 the month before, 0 the first after; `pooled` with those beyond it."""

    month: int
    pooled: bool = False
    n: int
    people: int
    mean_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None


class AroundPart(Struct, frozen=True, kw_only=True):
    """The months around sign-off."""

    sentence: str = ""
    months: tuple[AroundMonth, ...] = ()
    trend: TrendRow | None = None


class BesideRow(Struct, frozen=True, kw_only=True):
    """A measure looked at beside the one that decides; `p_holm` after Holm's correction for all of them."""

    measure: str
    effect: Number | None = None
    low: Number | None = None
    high: Number | None = None
    unit: str = ""
    p_holm: Number | None = None
    sentence: str = ""


class TrainingPart(Struct, frozen=True, kw_only=True):
    """The grounds of the verdict on training."""

    comparator: str = ""
    advice: str = ""
    wards: int
    people_signed_off: int
    permutation_p: Number | None = None
    why: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    measures: tuple[BesideRow, ...] = ()
    around: AroundPart = AroundPart()


class ModelPart(Struct, frozen=True, kw_only=True):
    """The joint model's part; instruments and wards by their names, those that are judged."""

    spread: ModelSpread = ModelSpread()
    groups: tuple[GroupRow, ...] = ()
    sites: tuple[SitePart, ...] = ()
    instruments: dict[str, EffectPart] = field(default_factory=dict)
    wards: dict[str, EffectPart] = field(default_factory=dict)
    training: TrainingPart | None = None
