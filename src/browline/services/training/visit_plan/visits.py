"""The visits of a kept plan as they stand now: one that was taken is its session, wherever that has gone since."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from browline import display
from browline.documents.plan import VisitRow
from browline.store.models import Event, Session

CHANGES = ("session-moved", "session-cancelled")


class Stands(StrEnum):
    """How a visit of a plan stands."""

    PROPOSED = "proposed"
    AGREED = "agreed"
    MOVED = "moved"
    HELD = "held"
    CANCELLED = "cancelled"


@dataclass(frozen=True)
class ShownVisit:
    """One visit. `first` are called for the first time, `again` have another chance here, each by name.

    `was`: where and when the plan had it, for one that lies elsewhere now; who is on duty there is not known then,
    so nobody is called. `changes`: how often its session was changed.
    """

    key: str
    time: datetime
    minutes: int
    ward: str
    shift: str
    on_duty: int
    places: int
    expected: float
    first: tuple[str, ...]
    again: tuple[str, ...]
    session: int | None
    kept: bool
    stands: Stands = Stands.PROPOSED
    was: str = ""
    changes: int = 0

    @property
    def day(self) -> date:
        """Its date on the hospital's clock."""
        return self.time.date()

    @property
    def as_planned(self) -> bool:
        """Whether it lies where the plan has it, so that what the plan says of people holds."""
        return not self.was and self.stands != Stands.CANCELLED


def shown_visits(
    visits: Sequence[VisitRow], names: Mapping[int, str], zone: ZoneInfo
) -> tuple[ShownVisit, ...]:
    """The visits in order of time, those that are sessions as the sessions stand."""
    taken = [visit.session for visit in visits if visit.session is not None]
    sessions = Session.objects.in_bulk(taken)
    events = Event.objects.filter(verb__in=CHANGES, subject__in=[str(number) for number in taken])
    changes = Counter(events.values_list("subject", flat=True))
    visits_shown = [
        _visit(v, sessions.get(v.session or 0), names, zone, changes[str(v.session)]) for v in visits
    ]
    return tuple(sorted(visits_shown, key=lambda visit: (visit.time, visit.ward)))


def _visit(
    visit: VisitRow, session: Session | None, names: Mapping[int, str], zone: ZoneInfo, changes: int
) -> ShownVisit:
    planned = datetime.fromisoformat(visit.time).astimezone(zone)
    time = planned if session is None else session.time.astimezone(zone)
    ward = visit.ward if session is None else session.ward
    elsewhere = time != planned or ward != visit.ward
    stands = _stands(visit, session, elsewhere)
    holds = not elsewhere and stands != Stands.CANCELLED
    called = [(names.get(p, "no longer in the book"), k) for p, k in visit.calls if holds]
    return ShownVisit(
        key=visit.key,
        on_duty=visit.on_duty,
        places=visit.places,
        expected=visit.expected,
        session=visit.session,
        kept=visit.fixed,
        shift=visit.shift,
        time=time,
        minutes=visit.minutes if session is None else session.minutes,
        ward=ward or "no ward",
        first=tuple(sorted(name for name, k in called if k == 1)),
        again=tuple(sorted(name for name, k in called if k > 1)),
        stands=stands,
        was=_planned(planned, visit.ward) if elsewhere else "",
        changes=changes,
    )


def _planned(time: datetime, ward: str) -> str:
    """When and where it was planned, for a visit that has moved."""
    when = f"{display.weekday(time)} {display.short_day(time)} {display.time_of_day(time)}"
    return f"{when}, {ward or 'no ward'}"


def _stands(visit: VisitRow, session: Session | None, elsewhere: bool) -> Stands:
    if visit.session is None:
        return Stands.PROPOSED
    if session is None or session.state == session.CANCELLED:
        return Stands.CANCELLED
    if session.state == session.HELD:
        return Stands.HELD
    return Stands.MOVED if elsewhere else Stands.AGREED
