"""When a battery may run out, from how much is charted with it.

Readings in t days are Poisson with a rate that is itself learnt from n readings in d days (Jeffreys' prior):

    N_t ~ NegativeBinomial(shape a = n + 1/2, rate b = d),      P(N_t >= k) = I_{t / (b + t)}(k, a)

The battery is out at the R-th reading after it was first known to be good. R is spread evenly from L to H:
a fresh one lasts the usual number C give or take three tenths (our judgement), and one of unknown age may hold
anything from nothing to C. With E min(N, m) = (a t / b) P(N' < m) + m P(N > m), where N' has shape a + 1,

    F(t) = P(out by t) = (E min(N_t, H) - E min(N_t, L)) / (H - L)

and what is said today is conditional on its having been good at the last look. What is forecast is a display
that stays off, not a wrong value: below its voltage limit it shows nothing (taught, a claim, no source found).
Readings that nobody charted are not counted: it may come sooner.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import Enum

from browline.instruments.records import Charted, Entry, Sighted

# Taught, no source found: from the instructions of one kind of instrument. Published for ear thermometers:
# 5,000 to 6,000 a set of cells (NICE costing for CG47). An entry for the model wins.
BATTERY_READINGS = 15_000.0
SPREAD = 0.3

FEWEST_READINGS, FEWEST_DAYS = 20, 7.0
QUANTILES = (0.05, 0.5, 0.95)
LONGEST_DAYS = 5 * 365.0
# A new battery costs little and a blank display a reading, so one chance in five is enough to bring one.
BRING_ONE = 0.2


class Power(Enum):
    """What can be said of a battery."""

    NOW = "low or dead at the last look"
    SOON = "may run out before the next round"
    LASTS = "expected to last until the next round"
    OUTLASTED = "has given more readings than a battery usually does"
    TOO_FEW = "too few readings are charted with it to tell"
    NOT_LOOKED = "no round has looked at it"


@dataclass(frozen=True)
class Battery:
    """The battery of one instrument.

    - `last_look`: the last look at it. `fresh`: whether it is known when it was new.
    - `earliest`, `likely`, `latest`: days by which it is out with 5, 50 and 95 chances in 100; None where the outcome
      cannot say, or beyond five years.
    - `chance`: that it is out before the next round, in [0, 1], or None.
    """

    entry: Entry
    outcome: Power
    last_look: Sighted | None = None
    fresh: bool = False
    earliest: date | None = None
    likely: date | None = None
    latest: date | None = None
    chance: float | None = None

    @property
    def to_do(self) -> bool:
        """Whether to bring a battery."""
        return self.outcome in (Power.NOW, Power.SOON, Power.OUTLASTED)


@dataclass(frozen=True)
class Draw:
    """The readings R until it is out, evenly from `least` to `most`, drawn at the rate of (`shape`, `days`)."""

    least: int
    most: int
    shape: float
    days: float

    def out_by(self, t: float) -> float:
        """F(t), the chance that it is out within t days.

        >>> round(Draw(0, 100, 10.5, 1.0).out_by(5.0), 2)
        0.52
        """
        from scipy.special import betainc

        p = t / (self.days + t)

        def expected(most: int) -> float:
            if most == 0 or t == 0:
                return 0.0
            below = 1.0 - float(betainc(most, self.shape + 1.0, p))
            return self.shape * t / self.days * below + most * float(betainc(most + 1, self.shape, p))

        return (expected(self.most) - expected(self.least)) / (self.most - self.least)

    def when(self, chance: float) -> float:
        """The days by which it is out with this chance; infinite beyond `LONGEST_DAYS`."""
        from scipy.optimize import brentq

        # About the day of the most readings at the mean rate: above it the chance is flat, and the search slow.
        high = min(self.most * self.days / self.shape, LONGEST_DAYS)
        while self.out_by(high) < chance:
            if high >= LONGEST_DAYS:
                return float("inf")
            high = min(1.5 * high, LONGEST_DAYS)
        return float(brentq(lambda t: self.out_by(t) - chance, 0.0, high, xtol=0.05))


@dataclass(frozen=True)
class Terms:
    """What a forecast rests on: what is `charted` with the instrument, the usual readings C that a battery `lasts`,
    and the days until the next round.
    """

    charted: Charted | None
    lasts: float
    next_days: int


def battery(entry: Entry, sightings: Sequence[Sighted], terms: Terms, now: datetime) -> Battery:
    """The state of one battery; `sightings` are its own, in time order."""
    looks = [s for s in sightings if s.battery]
    if not looks:
        return Battery(entry, Power.NOT_LOOKED)
    if looks[-1].battery in ("low", "dead"):
        return Battery(entry, Power.NOW, looks[-1])
    since, fresh = _good_since(looks)
    charted, lasts = terms.charted, terms.lasts
    if charted is None or charted.readings < FEWEST_READINGS or charted.days < FEWEST_DAYS:
        return Battery(entry, Power.TOO_FEW, looks[-1], fresh)
    least, most = (round((1 - SPREAD) * lasts), round((1 + SPREAD) * lasts)) if fresh else (0, round(lasts))
    draw = Draw(least, most, charted.readings + 0.5, charted.days)
    return _forecast(entry, looks[-1], since, fresh, draw, now + timedelta(days=terms.next_days))


def _good_since(looks: Sequence[Sighted]) -> tuple[datetime, bool]:
    """Since when it is known to be good, and whether it was fresh then: put in new, or good again after low."""
    for place in range(len(looks) - 1, -1, -1):
        if looks[place].battery == "new":
            return looks[place].time, True
        if looks[place].battery in ("low", "dead"):
            return looks[place + 1].time, True
    return looks[0].time, False


def _forecast(
    entry: Entry, last: Sighted, since: datetime, fresh: bool, draw: Draw, next_round: datetime
) -> Battery:
    used = draw.out_by(_days(since, last.time))
    remaining = 1.0 - used
    if remaining < 0.01:
        return Battery(entry, Power.OUTLASTED, last, fresh)
    days = [draw.when(used + chance * remaining) for chance in QUANTILES]
    earliest, likely, latest = (
        (since + timedelta(days=d)).date() if d < LONGEST_DAYS else None for d in days
    )
    chance = max(0.0, (draw.out_by(_days(since, next_round)) - used) / remaining)
    outcome = Power.SOON if chance >= BRING_ONE else Power.LASTS
    return Battery(
        entry=entry,
        outcome=outcome,
        last_look=last,
        fresh=fresh,
        earliest=earliest,
        likely=likely,
        latest=latest,
        chance=chance,
    )


def _days(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds() / 86_400.0
