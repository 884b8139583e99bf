"""What the educator asks of a plan, checked once: weeks, hours, when she can come, cover, and what is settled by hand.

The hours and shares until she sets them are common practice, no source; 0.6 for release is a planning number.
"""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, fields
from datetime import date, datetime, timedelta
from typing import TypedDict, cast

from browline.errors import NotUnderstood
from browline.services.book.clock import YEARS

CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)|24:00")
SPAN = re.compile(r"([\d:]+)\s*(?:-|–|to)\s*([\d:]+)")
NOT_SIGNED_OFF, NOT_TAUGHT = "not-signed-off", "not-taught"
WHOM = {
    NOT_SIGNED_OFF: "everybody who is not signed off",
    NOT_TAUGHT: "only those who have not been to a session either",
}
# name -> (least, most, what it is)
RANGES: dict[str, tuple[float, float, str]] = {
    "weeks": (1, 6, "weeks to plan"),
    "hours_a_week": (0.5, 60, "the educator's hours a week"),
    "visit_minutes": (5, 120, "minutes of a visit"),
    "walk_minutes": (0, 120, "minutes between two visits"),
    "person_minutes": (2, 60, "minutes one person is away"),
    "round_minutes": (0, 120, "minutes an observation round takes"),
    "visits_a_day": (1, 40, "visits a day"),
    "nights": (0, 42, "nights in the whole plan"),
    "weekend_days": (0, 12, "weekend days in the whole plan"),
    "rest_hours": (0, 24, "hours of rest between two working days"),
    "share": (1, 100, "per cent of those on duty who can be away at once"),
    "at_once": (1, 20, "people away at once"),
    "stay": (0, 20, "people who stay on the ward"),
    "release": (5, 100, "per cent of those called who can come"),
    "chances": (1, 4, "chances for each person"),
    "hour": (0, 20, "people an hour of the educator's must bring"),
    "half_life_days": (1, 365, "days until reaching somebody counts half"),
    "seconds": (1, 600, "seconds for the search"),
}


@dataclass(frozen=True)
class Kept:
    """A visit the educator has settled by hand."""

    ward: str
    time: str
    minutes: int


class KeptRow(TypedDict):
    """The same as the book keeps it."""

    ward: str
    time: str
    minutes: int


@dataclass(frozen=True)
class Options:
    """What a plan is asked for. Spans are texts such as ``08:00-16:00``, empty where she cannot come; times local.

    `days`: weekdays she works, 0 for Monday; `away`: dates she cannot come, ISO. `wards`: only these, all where empty.
    `kept`: visits settled by hand; `without`: (ward, ISO date) where no visit can be.
    """

    first: str
    weeks: int = 4
    hours_a_week: float = 6.0
    weekdays: str = "08:00-16:00"
    weekends: str = "09:00-13:00"
    night: str = "20:00-01:00"
    nights: int = 2
    weekend_days: int = 2
    days: tuple[int, ...] = (0, 1, 2, 3, 4)
    away: tuple[str, ...] = ()
    rounds: tuple[str, ...] = ("06:00", "10:00", "14:00", "18:00", "22:00")
    round_minutes: int = 30
    visit_minutes: int = 20
    walk_minutes: int = 10
    person_minutes: int = 10
    visits_a_day: int = 8
    rest_hours: float = 11.0
    share: float = 25.0
    at_once: int = 3
    stay: int = 1
    release: float = 60.0
    chances: int = 2
    half_life_days: float = 28.0
    hour: float = 0.5
    whom: str = NOT_SIGNED_OFF
    wards: tuple[str, ...] = ()
    kept: tuple[Kept, ...] = ()
    without: tuple[tuple[str, str], ...] = ()
    seconds: float = 60.0

    def __post_init__(self) -> None:
        _check_numbers(self)
        if _day(self.first).year not in YEARS:
            raise NotUnderstood(
                f"A plan from {self.first} was asked for.",
                f"It begins between {YEARS[0]}-01-01 and {YEARS[-1]}-12-31.",
                "Choose another day.",
            )
        for text in (self.weekdays, self.weekends, self.night):
            span(text)
        for text in (*self.away, *(day for _, day in self.without)):
            _day(text)
        for text in self.rounds:
            clock(text)
        for kept in self.kept:
            moment(kept.time)
        if self.whom not in WHOM or not set(self.days) <= set(range(7)):
            raise NotUnderstood("The days or people were not understood.", "See the form.", "Choose again.")
        if self.person_minutes > self.visit_minutes:
            raise NotUnderstood(
                f"A person is away for {self.person_minutes} minutes of a visit of {self.visit_minutes}.",
                "Nobody could be taught.",
                "Make the visit longer, or the time for each shorter.",
            )

    @property
    def first_day(self) -> date:
        """The first day of the plan."""
        return _day(self.first)

    @property
    def last_day(self) -> date:
        """The last day of the plan."""
        return self.first_day + timedelta(days=7 * self.weeks - 1)

    def as_json(self) -> dict[str, object]:
        """As a book keeps it."""
        return asdict(self)


def _check_numbers(options: Options) -> None:
    for name, (least, most, subject) in RANGES.items():
        value = getattr(options, name)
        if not (math.isfinite(value) and least <= value <= most):
            raise NotUnderstood(
                f"{value:g} was given for {subject}.",
                f"It lies between {least:g} and {most:g}.",
                "Choose another number.",
            )


def options_of(kept: Mapping[str, object]) -> Options:
    """The options a book kept, or a door gathered; raises a refusal in words where one makes no sense."""
    known = {field.name for field in fields(Options)}
    given: dict[str, object] = {name: value for name, value in kept.items() if name in known}
    for name in ("days", "away", "rounds", "wards"):
        if name in given:
            given[name] = tuple(cast(Iterable[object], given[name]))
    by_hand = cast(Iterable[Kept | KeptRow], given.get("kept", ()))
    given["kept"] = tuple(visit if isinstance(visit, Kept) else Kept(**visit) for visit in by_hand)
    excluded = cast(Iterable[tuple[str, str]], given.get("without", ()))
    given["without"] = tuple((ward, day) for ward, day in excluded)
    # Each option checks itself.
    make: Callable[..., Options] = Options
    return make(**given)


def span(text: str) -> tuple[float, float] | None:
    """Start and end in hours; an end not after the start lies on the next day. None for an empty text.

    >>> span("08:00-16:00"), span("20:00 - 01:00"), span("")
    ((8.0, 16.0), (20.0, 25.0), None)
    """
    if not text.strip():
        return None
    match = SPAN.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(
            f"{text!r} is not a time of day from one hour to another.",
            "It is written as 08:00-16:00.",
            "Write it so, or leave it empty where you cannot come.",
        )
    first, last = clock(match[1]), clock(match[2])
    return first, last if last > first else last + 24


def clock(text: str) -> float:
    """A time of day in hours.

    >>> clock("14:30")
    14.5
    """
    match = CLOCK.fullmatch(text.strip())
    if match is None:
        raise NotUnderstood(f"{text!r} is not a time of day.", "It is written as 14:00.", "Write it so.")
    return int(match[1] or 24) + int(match[2] or 0) / 60


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise NotUnderstood(
            f"{text!r} is not a date.", "It is written as 2026-03-07.", "Write it so."
        ) from None


def moment(text: str) -> datetime:
    """A kept visit's moment on the hospital's clock."""
    time: datetime | None
    try:
        time = datetime.fromisoformat(text)
    except ValueError:
        time = None
    if time is None or time.tzinfo is not None:
        raise NotUnderstood(
            f"{text!r} is not a moment.", "It is written as 2026-03-07T14:00.", "Write it so."
        )
    return time
