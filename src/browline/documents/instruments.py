"""The instruments as they stand today as their contract writes them, format browline-instruments/1.

Days and times are ISO 8601, times in the hospital's zone; errors in °C.
"""

from msgspec import Struct, field

from browline.documents.constraints import Count, Day, Sentence, Share
from browline.documents.encoding import Number, json_of, plain

FORMAT = "browline-instruments/1"


class CountRow(Struct, frozen=True, kw_only=True):
    """How many instruments are where; `located_share` of those in service, None where there are none.

    `low` and `high` stay None: every instrument of the register is counted, so no sample makes the share uncertain.
    `round_made`: whether any round was made; before it nothing says where an instrument is.
    """

    in_service: Count
    present: Count
    in_use: Count
    not_located: Count
    retired: Count
    later: Count
    not_in_register: Count
    round_made: bool
    located_share: Share | None = None
    low: Share | None = None
    high: Share | None = None
    sentence: Sentence


class TaskRow(Struct, frozen=True, kw_only=True):
    """Something due today about one instrument: what is the matter, why, and the one thing to do."""

    kind: str
    instrument: str
    ward: str
    title: Sentence
    reasons: tuple[str, ...] = ()
    action: Sentence


class RegisterRow(Struct, frozen=True, kw_only=True):
    """An instrument of the register: where it is, its lens, its battery and its last check."""

    instrument: str
    home: str
    state: str
    ward: str
    last_seen: str | None = field(name="found", default=None)
    lens: str | None = None
    lens_due: Day | None = None
    battery: str | None = None
    check_due: Day | None = None
    check_out_of_limits: bool = False
    check_error_c: Number | None = None


class WardKitRow(Struct, frozen=True, kw_only=True):
    """A ward's instruments: ready against its need, there but not ready and why, not located, on another ward."""

    ward: str
    ready: tuple[str, ...] = ()
    need: int | None = None
    not_ready: dict[str, tuple[str, ...]] = {}
    missing: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    sentence: Sentence


class InstrumentsDocument(Struct, frozen=True, kw_only=True):
    """One count, what is due today with the most urgent first, every instrument of the register, every ward."""

    format: str = FORMAT
    count: CountRow
    due: tuple[TaskRow, ...] = ()
    instruments: tuple[RegisterRow, ...] = ()
    wards: tuple[WardKitRow, ...] = ()

    def ward_of(self, instrument: str) -> str:
        """The ward where an instrument of the register was last located; empty where none is known."""
        return next((row.ward for row in self.instruments if row.instrument == instrument), "")


def instruments_json(document: InstrumentsDocument) -> str:
    """The instruments as other programs read them; raises `NotFinite`."""
    return json_of(dict(plain(document)))
