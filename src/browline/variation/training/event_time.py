"""Months before and after sign-off: the picture behind the level, and whether people were changing already before.

Cells of a person's readings within a calendar month and a month k counted from their sign-off, mean m = score /
information, are set against the months just before sign-off and people never signed off:

    m_c = person_p + month_t + delta_k(c),    delta_-1 = 0,  delta = 0 for those never signed off

weighted by information, with doubt over wards (clustered.py). Months far out are pooled. A trend before sign-off,
delta_k = slope (k + 1) for k < -1, says that dates were chosen when people were changing anyway.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.training.clustered import Clustered, clustered
from browline.variation.training.exposure import Bools

NEVER = np.iinfo(np.int64).min
FAR, REFERENCE = 6, -1
FEWEST_READINGS, FEWEST_PEOPLE = 20, 3
"""With fewer a month is not told (common practice, no source)."""
SURE = 0.05


@dataclass(frozen=True)
class EventCells:
    """c cells of a person, a calendar month and a month from sign-off.

    - `person`, `ward`, `month` int64[c]. `event` int64[c]: whole months since sign-off, 0 the first, -1 the month
      before it, `NEVER` for people never signed off. `n` int64[c]: readings.
    - `information` float64[c], 1/°C^2, and `score` float64[c], 1/°C: sums of C'V^-1 C and C'V^-1 e, e the residual
      of a fit that does not know who was signed off.
    """

    person: Codes
    ward: Codes
    month: Codes
    event: Codes
    n: Codes
    information: Floats
    score: Floats


class EventOutcome(StrEnum):
    """Whether the picture can be drawn."""

    DRAWN = "drawn"
    NO_COMPARISON = "nobody-never-signed-off"
    TOO_FEW = "too-few-to-tell"

    @property
    def sentence(self) -> str:
        """What the picture is, or what is wanting."""
        return _SENTENCES[self]


_SENTENCES = {
    EventOutcome.DRAWN: (
        "How readings stood in the months before and after sign-off, against the month just before it and against"
        " people not signed off."
    ),
    EventOutcome.NO_COMPARISON: (
        "Everybody was signed off in the end, so months from sign-off cannot be told from the calendar; keep some"
        " people or wards for later, or look at the level alone."
    ),
    EventOutcome.TOO_FEW: (
        "Too few people, wards or months around sign-off to draw the months apart; look again with more months."
    ),
}


@dataclass(frozen=True)
class EventMonth:
    """One month from sign-off: `pooled` where months beyond it are in it; °C against the month before sign-off.

    `mean_c`, `low_c`, `high_c` (95 %) are None where too few to tell; the reference month stands at 0 without doubt.
    """

    month: int
    pooled: bool
    n: int
    people: int
    mean_c: float | None
    low_c: float | None
    high_c: float | None


@dataclass(frozen=True)
class Trend:
    """Change a month before sign-off, °C, with its 95 % interval and the chance `p` of one so large by luck."""

    slope_c: float
    low_c: float
    high_c: float
    p: float

    @property
    def sentence(self) -> str:
        """What it means for the level."""
        if self.p >= SURE:
            return "No trend before sign-off was seen; that does not prove that there was none."
        way = "rising" if self.slope_c > 0 else "falling"
        return (
            f"Readings were {way} already before sign-off, so the change after it is partly not of its making;"
            " ask what else began then."
        )


@dataclass(frozen=True)
class EventTime:
    """The picture: months in order, and the trend before sign-off, None where it cannot be told."""

    outcome: EventOutcome
    months: tuple[EventMonth, ...] = ()
    trend: Trend | None = None


def event_time(cells: EventCells, far: int = FAR) -> EventTime:
    """The months from sign-off, those `far` and farther pooled on either side; `far` at least 3."""
    if far < 3:
        raise ValueError("at least three months on either side are wanted")
    never = cells.event == NEVER
    if cells.n[never].sum() < FEWEST_READINGS or len(np.unique(cells.person[never])) < FEWEST_PEOPLE:
        return EventTime(EventOutcome.NO_COMPARISON)
    label = np.where(never, REFERENCE, np.clip(cells.event, -far, far))
    months_used = [k for k in range(-far, far + 1) if _enough(cells, ~never & (label == k))]
    estimated = [k for k in months_used if k != REFERENCE]
    used = (cells.information > 0) & np.isin(label, [*estimated, REFERENCE])
    fit = _fit(cells, label, np.array(estimated), used) if REFERENCE in months_used and estimated else None
    if fit is None:
        return EventTime(EventOutcome.TOO_FEW)
    months = tuple(_month(cells, ~never & (label == k), k, far, estimated, fit) for k in range(-far, far + 1))
    return EventTime(EventOutcome.DRAWN, months, _trend(cells, label, estimated, fit))


def _enough(cells: EventCells, cells_of_month: Bools) -> bool:
    """Whether a month from sign-off has the readings and the people to be told."""
    return bool(
        cells.n[cells_of_month].sum() >= FEWEST_READINGS
        and len(np.unique(cells.person[cells_of_month])) >= FEWEST_PEOPLE
    )


def _fit(cells: EventCells, label: Codes, estimated: Codes, used: Bools) -> Clustered | None:
    """delta of the months told, then the calendar."""
    month = cells.month[used]
    calendar = np.unique(month)[1:]
    x = np.column_stack([label[used, None] == estimated, month[:, None] == calendar]).astype(float)
    information = cells.information[used]
    return clustered(cells.score[used] / information, x, information, cells.person[used], cells.ward[used])


def _month(
    cells: EventCells, which: Bools, k: int, far: int, estimated: list[int], fit: Clustered
) -> EventMonth:
    n, people, pooled = int(cells.n[which].sum()), len(np.unique(cells.person[which])), abs(k) == far
    if k == REFERENCE:
        return EventMonth(month=k, pooled=pooled, n=n, people=people, mean_c=0.0, low_c=0.0, high_c=0.0)
    if k not in estimated:
        return EventMonth(month=k, pooled=pooled, n=n, people=people, mean_c=None, low_c=None, high_c=None)
    mean = fit.contrast(np.eye(len(fit.beta))[estimated.index(k)])
    return EventMonth(
        month=k, pooled=pooled, n=n, people=people, mean_c=mean.effect, low_c=mean.low, high_c=mean.high
    )


def _trend(cells: EventCells, label: Codes, estimated: list[int], fit: Clustered) -> Trend | None:
    """``slope = z'C^-1 delta / z'C^-1 z`` over the months before the reference, C the plain variance.

    z: months from the reference, for pooled months where their information lies on average; what a slope does
    within pooled months leans on people and calendar, so that a long one is understated.
    """
    before = [i for i, k in enumerate(estimated) if k < REFERENCE]
    if len(before) < 2:
        return None
    which = [(label == estimated[i]) & (cells.information > 0) for i in before]
    z = np.array([np.average(cells.event[o], weights=cells.information[o]) - REFERENCE for o in which])
    weights = np.linalg.solve(fit.plain[np.ix_(before, before)], z)
    a = np.zeros(len(fit.beta))
    a[before] = weights / (weights @ z)
    slope = fit.contrast(a)
    return Trend(slope.effect, slope.low, slope.high, slope.p)
