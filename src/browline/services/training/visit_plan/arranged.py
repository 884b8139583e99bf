"""What is settled before a plan is made: sessions, visits kept by hand, hours given already, slots that were left.

A slot that a visit was moved away from, or that was cancelled, did not suit: no visit to that ward is proposed again
for that day.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from browline.services.training.visit_plan.options import Options, moment
from browline.services.training.visit_plan.times import week_of
from browline.store.models import Event, Session
from browline.weeks import monday_of

PLACED = ("session-planned", "session-moved")


@dataclass(frozen=True)
class Fixed:
    """A visit already arranged: a session of the book, or one kept by hand (no session yet)."""

    ward: str
    time: datetime
    minutes: int
    session: int | None


def fixed_visits(options: Options, now: datetime, zone: ZoneInfo) -> tuple[Fixed, ...]:
    """Sessions planned in these weeks, then visits kept by hand that are no session yet."""
    begin = datetime.combine(options.first_day, time(), zone)
    end = begin + timedelta(weeks=options.weeks)
    planned = Session.objects.planned().filter(time__gte=max(begin, now), time__lt=end)
    visits = [Fixed(s.ward, s.time.astimezone(zone), s.minutes, s.pk) for s in planned]
    arranged = {(f.ward, f.time.replace(tzinfo=None)) for f in visits}
    earliest = max(begin, now).astimezone(zone).replace(tzinfo=None)
    for by_hand in options.kept:
        start = moment(by_hand.time)
        if (by_hand.ward, start) not in arranged and start >= earliest:
            visits.append(Fixed(by_hand.ward, start.replace(tzinfo=zone), by_hand.minutes, None))
    return tuple(visits)


def hours_given(options: Options, fixed: Iterable[Fixed], zone: ZoneInfo) -> Mapping[int, float]:
    """week -> hours of its other sessions, held or to come: those before now, and those outside the plan's days."""
    in_plan = {f.session for f in fixed if f.session is not None}
    begin = datetime.combine(monday_of(options.first_day), time(), zone)
    sessions = Session.objects.filter(time__gte=begin, time__lt=begin + timedelta(weeks=options.weeks + 1))
    out: dict[int, float] = defaultdict(float)
    for session in sessions.not_cancelled().exclude(pk__in=in_plan):
        week = week_of(options.first_day, session.time.astimezone(zone).date())
        out[week] += (session.minutes + options.walk_minutes) / 60
    return dict(out)


def left_slots(options: Options, zone: ZoneInfo) -> set[tuple[str, date]]:
    """(ward, day) where nothing is proposed: left out or moved away from by hand, or a session's former place."""
    by_hand = {(ward, date.fromisoformat(day)) for ward, day in options.without}
    return by_hand | {(ward, time_before.astimezone(zone).date()) for ward, time_before in _former_places()}


def _former_places() -> list[tuple[str, datetime]]:
    """Where sessions once were: every place but the last, and the last of those cancelled."""
    places: dict[str, list[tuple[str, datetime]]] = defaultdict(list)
    events = Event.objects.filter(verb__in=PLACED).order_by("pk")
    for subject, data in events.values_list("subject", "data"):
        places[subject].append((data.get("ward", "").strip(), datetime.fromisoformat(data["time"])))
    gone = Session.objects.filter(state=Session.CANCELLED).values_list("ward", "time")
    return [place for former in places.values() for place in former[:-1]] + list(gone)
