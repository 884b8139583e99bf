"""What is asked: who is to be reached, who works when, when the educator can come, and what must be kept.

Times are hours on the ward's wall clock since midnight of the first day of the plan, so 26.5 is half past two
on the second day. Everything is checked once, when it is made.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

WEEKDAY, WEEKEND, NIGHT = 0, 1, 2
"""The three times of the week that duties and the educator's hours fall into."""

DAY_H = 24.0
DUTY_SPAN_H, BREAK_H = 13.0, 5.0
"""Stretches within so many hours, with no longer break, are one working day (common practice, no source)."""


@dataclass(frozen=True)
class Duties:
    """Turns of duty, one row each: `person` and `ward` codes, `start` and `end` in hours, `time` of the week."""

    person: Ints
    ward: Ints
    start: Floats
    end: Floats
    time: Ints

    def __post_init__(self) -> None:
        if len({len(self.person), len(self.ward), len(self.start), len(self.end), len(self.time)}) > 1:
            raise ValueError("duties have one person, ward, start, end and time of the week each")
        if np.any(self.end <= self.start):
            raise ValueError("a duty ends after it starts")

    def __len__(self) -> int:
        return len(self.person)


@dataclass(frozen=True)
class Stretch:
    """A time the educator can come, `start` to `end` in hours. `time`: of the week. `clear`: free of rounds.

    `starts` are the moments at which a visit may begin, at least a visit and a walk apart.
    """

    start: float
    end: float
    time: int
    starts: tuple[float, ...]

    @property
    def day(self) -> int:
        """The day of the plan on which it begins; a night belongs to the day it begins on."""
        return int(self.start // DAY_H)


@dataclass(frozen=True)
class FixedVisit:
    """A visit already arranged: it is kept, and its hours and names are counted."""

    ward: int
    start: float
    hours: float


@dataclass(frozen=True)
class Cover:
    """What a ward keeps while somebody is with the educator.

    At most ``min(share · n, most)`` of the n on duty leave at once, `stay` remain, and where that leaves nobody one
    may still come if `stay` remain. Nobody is fetched in the first or last `handover_h` hours of a duty.
    A person is away for `round_h` hours, so a visit of h hours has ``floor(h / round_h)`` rounds.
    """

    share: float = 0.25
    most: int = 3
    stay: int = 1
    handover_h: float = 0.5
    round_h: float = 1 / 6

    def __post_init__(self) -> None:
        if not 0 < self.share <= 1 or self.most < 1 or self.stay < 0 or self.round_h <= 0:
            raise ValueError("cover is a share in (0, 1], at least one at once, and rounds that take time")


@dataclass(frozen=True)
class Limits:
    """The educator's own limits: hours a week with walks, visits a day and a ward's day, nights and weekend days.

    `rest_h` hours lie between two working days. `nights` and `weekends` count the stretches used in the whole plan.
    """

    hours_a_week: float = 6.0
    visits_a_day: int = 8
    visits_a_ward_day: int = 1
    nights: int = 2
    weekends: int = 2
    rest_h: float = 11.0


@dataclass(frozen=True)
class Worth:
    """What a plan is worth: somebody reached on day t counts ``2^(-t / half_life_days)``, less a price an hour.

    `release`: chance that someone on duty and called can come; 0.6 is a planning number, an assumption.
    `chances`: how many chances for one person are counted. `out_of_hours`: weight of those who work only nights or
    only weekends, above 1 so that they are not left to the end. `hour`: reached people an hour must bring.
    """

    release: float = 0.6
    chances: int = 2
    half_life_days: float = 28.0
    out_of_hours: float = 1.5
    hour: float = 0.25

    def __post_init__(self) -> None:
        if not 0 < self.release <= 1 or self.chances < 1 or self.half_life_days <= 0 or self.hour < 0:
            raise ValueError("release is a chance above 0, chances at least one, the half-life above 0 days")


@dataclass(frozen=True)
class Problem:
    """A plan to make.

    - `people`: number of people. `to_reach` bool[people]; the others count as cover and as champions.
    - `wards`: number of wards. `closed`: wards where no visit can be. `excluded`: (ward, day) that cannot be.
    - `visit_h`, `walk_h`: hours of a visit, and between two.
    - `first_weekday`: weekday of the first day, 0 for Monday. `spent`: week -> hours of it already given elsewhere.
    """

    people: int
    wards: int
    to_reach: Flags
    duties: Duties
    stretches: tuple[Stretch, ...]
    fixed: tuple[FixedVisit, ...] = ()
    closed: frozenset[int] = frozenset()
    excluded: frozenset[tuple[int, int]] = frozenset()
    visit_h: float = 1 / 3
    walk_h: float = 1 / 6
    cover: Cover = field(default_factory=Cover)
    limits: Limits = field(default_factory=Limits)
    worth: Worth = field(default_factory=Worth)
    first_weekday: int = 0
    spent: Mapping[int, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if len(self.to_reach) != self.people:
            raise ValueError("to_reach has one entry for each person")
        if len(self.duties) and (
            self.duties.person.max() >= self.people or self.duties.ward.max() >= self.wards
        ):
            raise ValueError("duties name people and wards of the problem")
        if any(
            late - early < self.cost_h - 1e-9
            for s in self.stretches
            for early, late in zip(s.starts, s.starts[1:], strict=False)
        ):
            raise ValueError("starts of visits lie at least a visit and a walk apart")

    def week(self, day: int) -> int:
        """The week of a day of the plan, from 0; weeks begin on Mondays, so the first and the last may be parts.

        >>> nobody = np.zeros(0, dtype=bool)
        >>> none = Duties(*(np.zeros(0, dtype=kind) for kind in (int, int, float, float, int)))
        >>> wednesday = Problem(0, 0, nobody, none, (), first_weekday=2)
        >>> [wednesday.week(day) for day in (0, 4, 5, 11, 12)]
        [0, 0, 1, 1, 2]
        """
        return (day + self.first_weekday) // 7

    @property
    def cost_h(self) -> float:
        """The educator's hours for one visit, walk included."""
        return self.visit_h + self.walk_h

    @property
    def only_out_of_hours(self) -> Flags:
        """bool[people]: on duty in these weeks, and only at nights or weekends."""
        weekday = np.bincount(self.duties.person, self.duties.time == WEEKDAY, self.people)
        any_duty = np.bincount(self.duties.person, minlength=self.people)
        out: Flags = (any_duty > 0) & (weekday == 0)
        return out

    @property
    def only_nights(self) -> Flags:
        """bool[people]: on duty in these weeks, and only at night."""
        not_night = np.bincount(self.duties.person, self.duties.time != NIGHT, self.people)
        any_duty = np.bincount(self.duties.person, minlength=self.people)
        out: Flags = (any_duty > 0) & (not_night == 0)
        return out

    @property
    def weight(self) -> Floats:
        """float[people]: how much reaching each counts; 0 for those not to be reached."""
        return np.where(self.only_out_of_hours, self.worth.out_of_hours, 1.0) * self.to_reach
