"""What a review has beside its contract: months and weeks, the model's and the audit's parts, files, versions."""

from msgspec import Struct, field

from browline.documents.audit import AuditPart
from browline.documents.encoding import Number
from browline.documents.model import ModelPart


class MonthRow(Struct, frozen=True, kw_only=True):
    """A month: its readings, those that cannot be relied on, and by reason `why`."""

    month: str
    readings: int
    unreliable: int
    why: dict[str, int] = field(default_factory=dict)


class WeekRow(Struct, frozen=True, kw_only=True):
    """A week of an instrument or a ward, by its Monday, against its comparator."""

    week: str
    n: int
    mean_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None


class WeeksPart(Struct, frozen=True, kw_only=True):
    """The weeks by name of the instrument or the ward."""

    instrument: dict[str, tuple[WeekRow, ...]] = field(default_factory=dict)
    ward: dict[str, tuple[WeekRow, ...]] = field(default_factory=dict)


class ExclusionRow(Struct, frozen=True, kw_only=True):
    """Rows set aside or put right for one reason."""

    code: str
    count: int
    sentence: str


class ImportRow(Struct, frozen=True, kw_only=True):
    """A file in force, its rows accounted for."""

    label: str
    kind: str
    rows: int
    taken: int
    already_here: int
    set_aside: int
    repaired: int


class RequestRow(Struct, frozen=True, kw_only=True):
    """A column to ask the data team for; `ask` in words, `why` it matters."""

    column: str
    ask: str = ""
    why: str = ""


class EventRow(Struct, frozen=True, kw_only=True):
    """A dated event known to the book; of the whole hospital where no ward is named."""

    date: str
    what: str
    ward: str | None = None


class Supplement(Struct, frozen=True, kw_only=True):
    """Everything that a review has beside its contract; see docs/reference for each field."""

    hospital: str = ""
    tolerance_c: Number = 0.3
    false_share: Number = 0.1
    reviewed_at: str = ""
    days: tuple[str | None, ...] = ()
    fit_outcome: str | None = None
    months: tuple[MonthRow, ...] = ()
    weeks: WeeksPart = WeeksPart()
    model: ModelPart | None = None
    exclusions: tuple[ExclusionRow, ...] = ()
    imports: tuple[ImportRow, ...] = ()
    can_answer: tuple[str, ...] = ()
    cannot_answer: tuple[str, ...] = ()
    requests: tuple[RequestRow, ...] = ()
    events: tuple[EventRow, ...] = ()
    versions: dict[str, str] = field(default_factory=dict)
    audit: AuditPart | None = None
