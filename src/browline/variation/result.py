"""The answer: sites, spread, and the effects of instruments, people and wards, with how the fit ended."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from math import erf, sqrt

from browline.variation.outcome import Outcome
from browline.variation.retakes import Check, PairEstimate
from browline.variation.training.event_time import EventTime
from browline.variation.training.verdict import Training
from browline.variation.unlike import Unlike, unlike_people


@dataclass(frozen=True)
class Week:
    """One week of one subject: its first day, readings n, mean against the rest in °C with its 95 % interval."""

    week: date
    n: int
    mean_c: float
    low_c: float
    high_c: float


@dataclass(frozen=True)
class SiteEffect:
    """A site against the reference site at 37.0 °C, positive = reads high; `sd_c`: its own measuring spread.

    - `slope`, `slope_low`, `slope_high`: how far it rises where the reference rises by 1 °C; None where the readings
      cannot tell and it is taken to rise one for one.
    - `disagrees`: model and pairs differ by more than 0.05 °C, and the interval shown is the wider one.
    - `typical_c`: the offset of a typical reading, long tails let pass. `checks`: what the pairs show.
    """

    site: str
    n: int
    offset_c: float
    low_c: float
    high_c: float
    sd_c: float | None
    pairs: PairEstimate | None
    disagrees: bool = False
    slope: float | None = None
    slope_low: float | None = None
    slope_high: float | None = None
    typical_c: float | None = None
    checks: tuple[Check, ...] = ()


@dataclass(frozen=True)
class GroupSpread:
    """The stays of one care group: sds in °C of patients' levels and of the course around them, its hours."""

    group: str
    patient_sd_c: float
    course_sd_c: float
    course_hours: float


@dataclass(frozen=True)
class Spread:
    """Where the spread comes from, as standard deviations in °C; None where the chart cannot say.

    - `patient_sd_c` of patients' levels, `course_sd_c` of the course around them, `course_hours` its time
      constant, of the largest care group; `groups`: of every group where there are several.
    - `at_site_sd_c`: of a patient's own difference at a site. `month_sd_c`: of a ward's months. `reading_sd_c`: of one
      reading's error, over all sites.
    """

    patient_sd_c: float | None
    course_sd_c: float | None
    course_hours: float | None
    instrument_sd_c: float | None
    person_sd_c: float | None
    ward_sd_c: float | None
    reading_sd_c: float | None
    at_site_sd_c: float | None = None
    month_sd_c: float | None = None
    groups: tuple[GroupSpread, ...] = ()


@dataclass(frozen=True)
class Partner:
    """Something an effect cannot be told from: the posterior correlation, and the sum of both effects in °C."""

    factor: str
    name: str
    correlation: float
    sum_c: float
    sum_sd_c: float


@dataclass(frozen=True)
class Drift:
    """How an instrument changes from day to day since its lens was cleaned, against nothing: negative = it sinks.

    - `per_day_c`, `low_c`, `high_c`: °C a day with 95 % interval. `days`: its usual time between cleanings.
    - `chance`: that it changes by more than the tolerance over that time.
    """

    per_day_c: float
    low_c: float
    high_c: float
    days: float
    chance: float


@dataclass(frozen=True)
class Effect:
    """One instrument, person or ward against the others of its kind, positive = reads high.

    - `offset_c`, `low_c`, `high_c`, `sd_c`: posterior mean, 95 % interval and sd of the contrast in °C.
    - `chance`: that the contrast is beyond the tolerance in force on either side. `typical_c`: the contrast of a
      typical reading, long tails let pass. `data_share` in [0, 1]: 1 - posterior variance / prior variance.
    - `confounded_with`: see `Partner`. `level`: its number in the fit.
    - `drift`: how an instrument changes between lens cleanings, None where cleanings are not known.
    - `n` readings (of the latest segment where `changed`); `since`: first day of the offset, None where the
      readings are too few to say. `changed`: the offset began part-way; `earlier_c` is the offset before.
    - `after_cleaning_c`, `after_cleaning_sd_c`: how much higher it reads in the three days after a lens cleaning
      than in the three before, None where cleanings are not known. `cleanings_since`: lens cleanings
      since its first day. `mode`: as in the register, or None.
    - `judged`: false where technique and instrument are not told apart; then nothing is said of its offset.
    """

    factor: str
    code: int
    name: str
    n: int
    offset_c: float
    low_c: float
    high_c: float
    sd_c: float
    data_share: float
    chance: float
    typical_c: float
    comparator: str
    level: int = 0
    confounded_with: tuple[Partner, ...] = ()
    since: date | None = None
    changed: bool = False
    earlier_c: float | None = None
    after_cleaning_c: float | None = None
    after_cleaning_sd_c: float | None = None
    cleanings_since: int = 0
    mode: str | None = None
    mode_differs: bool | None = None
    drift: Drift | None = None
    judged: bool = True


def chance_beyond(mean: float, sd: float, tolerance: float) -> float:
    """``P(|x| > tolerance)`` for ``x ~ N(mean, sd^2)``; both sides.

    >>> round(chance_beyond(0.3, 0.1, 0.3), 4), chance_beyond(0.5, 0.0, 0.3)
    (0.5, 1.0)
    """
    if sd <= 0:
        return float(abs(mean) > tolerance)
    above = 0.5 * (1 - erf((tolerance - mean) / sd / sqrt(2)))
    below = 0.5 * (1 - erf((tolerance + mean) / sd / sqrt(2)))
    return above + below


@dataclass(frozen=True)
class Counts:
    """What went in."""

    readings: int
    set_aside: int
    without_site: int
    stays: int
    instruments: int
    people: int
    wards: int


@dataclass(frozen=True)
class Result:
    """Everything the model says; `outcome` first, for nothing else holds where it is not usable.

    - `fixed`: name -> estimate of the other fixed columns. `criterion`: -2 log REML, None where not fitted.
    - `dropped`: sentences on what the readings could not hold. `passes` over the readings.
    - `weeks`: factor -> subject -> its weeks against the rest, for instruments and wards. `tolerance_c`: in force.
    - `training`: the verdict with the months around sign-off; None where the charts cannot be asked.
    """

    outcome: Outcome
    counts: Counts
    reference_site: str | None
    sites: tuple[SiteEffect, ...]
    spread: Spread
    instruments: tuple[Effect, ...]
    wards: tuple[Effect, ...]
    people: tuple[Effect, ...]
    fixed: Mapping[str, float]
    criterion: float | None
    passes: int
    dropped: tuple[str, ...]
    stay_of_patient: bool = False
    weeks: Mapping[str, Mapping[str, tuple[Week, ...]]] = field(default_factory=dict)
    tolerance_c: float = 0.3
    training: tuple[Training, EventTime] | None = None

    def effects(self, factor: str) -> tuple[Effect, ...]:
        """The effects of `instrument`, `person` or `ward`."""
        return {"instrument": self.instruments, "person": self.people, "ward": self.wards}[factor]

    @property
    def unlike(self) -> Unlike | None:
        """Whether those who charted do not look like people at all; then nobody is listed."""
        return unlike_people(effect.offset_c for effect in self.people)
