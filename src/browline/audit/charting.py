"""Counts of charting faults and the shares that are worth a word."""

from dataclasses import dataclass

from browline.quantities.shares import wilson

# A share is worth a word when even the low end of its interval passes the line. Lines: common practice, no
# source; they are set so that an ordinary ward of a careful hospital stays quiet.
LINES = {"site-missing": 0.05, "implausible": 0.005, "instrument-unit": 0.01, "repeat-too-soon": 0.005}
FEWEST = 30


@dataclass(frozen=True)
class WardCounts:
    """One ward's rows: `readings` taken, of them without site and with the unit put right; values set aside."""

    ward: str
    readings: int
    site_missing: int
    unit_slips: int
    implausible: int


@dataclass(frozen=True)
class InstrumentCounts:
    """One instrument's readings and how many of them were charted as if in the other unit."""

    instrument: str
    readings: int
    unit_slips: int


@dataclass(frozen=True)
class Charting:
    """What is asked: counts by ward and by instrument, and repeats of a stay within 30 s.

    `timed_to_seconds`: whether the charted times carry seconds at all; without them a quick repeat cannot be
    seen and `quick_repeats` says nothing.
    """

    wards: tuple[WardCounts, ...]
    instruments: tuple[InstrumentCounts, ...]
    quick_repeats: int
    readings: int
    timed_to_seconds: bool


@dataclass(frozen=True)
class Share:
    """A share with its 95 % interval: `count` of `n`."""

    kind: str
    subject_type: str
    subject_id: str
    count: int
    n: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """The share itself."""
        return self.count / self.n

    @property
    def worth_a_word(self) -> bool:
        """Whether even the low end of the interval passes this kind's line."""
        return self.n >= FEWEST and self.low > LINES[self.kind]


def solve(problem: Charting) -> tuple[Share, ...]:
    """Every share of the problem, in the order of kinds, wards and instruments."""
    shares = [_share("site-missing", "ward", w.ward, w.site_missing, w.readings) for w in problem.wards]
    shares += [
        _share("implausible", "ward", w.ward, w.implausible, w.readings + w.implausible)
        for w in problem.wards
    ]
    shares += _unit_slips(problem)
    if problem.timed_to_seconds:
        shares.append(_share("repeat-too-soon", "book", "", problem.quick_repeats, problem.readings))
    return tuple(s for s in shares if s.n)


def _unit_slips(problem: Charting) -> list[Share]:
    """By instrument; by ward only where the charts name no instrument, so that one slip is not told twice."""
    kind = "instrument-unit"
    if problem.instruments:
        return [
            _share(kind, "instrument", i.instrument, i.unit_slips, i.readings) for i in problem.instruments
        ]
    return [_share(kind, "ward", w.ward, w.unit_slips, w.readings) for w in problem.wards]


def _share(kind: str, subject_type: str, subject_id: str, count: int, n: int) -> Share:
    return Share(kind, subject_type, subject_id, count, n, *wilson(count, n))
