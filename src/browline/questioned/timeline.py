"""What every hypothesis passes on its way to now: readings and onsets in time, and the courses it may begin from."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.questioned import transition
from browline.questioned.kernel import Floats, Hypotheses, Place, Seen
from browline.questioned.layout import Layout, in_order, instrument_of, layout_of
from browline.questioned.odds import Choices, conditions, courses, lag_sets, prepared, slips, states, surge
from browline.questioned.problem import Problem, Reading

ROUNDING_SD_C = 0.03


@dataclass(frozen=True)
class Onset:
    """A moment at which a surge may have begun: which of the onsets."""

    hour: float
    onset: int


@dataclass(frozen=True)
class Taken:
    """A moment at which a reading was taken: which (earliest first), its place in the state, and what was seen."""

    hour: float
    reading: int
    place: Place
    seen: Seen


@dataclass(frozen=True)
class Timeline:
    """What every hypothesis passes: the layout, the events in time, F and Q before each, float64[steps, lags, q, q].

    One step more than events: the last leads to now. `onset` int64[courses]: when each course begins to move (-1:
    never); `surge`: mean and variance of its rate there.
    """

    layout: Layout
    events: tuple[Onset | Taken, ...]
    forward: Floats
    noise: Floats
    onset: NDArray[np.int64]
    surge: tuple[float, float]


@dataclass(frozen=True)
class Found:
    """Hypotheses, with their log weights float64[K]; once a reading is in, the weights sum to 1.

    `start` int64[K]: from which course each began; `path` int64[K, readings, 3]: which branch it took at each reading,
    earliest first: condition, state, slip.
    """

    held: Hypotheses
    log_weight: Floats
    start: NDArray[np.int64]
    path: NDArray[np.int64]
    left_out: float


def timeline_of(problem: Problem) -> Timeline:
    """The timeline of a problem."""
    layout = layout_of(problem)
    sets = lag_sets(problem, layout.sites, layout.read)
    events = _events(problem, layout)
    hours = np.diff([events[0].hour, *(event.hour for event in events), 0.0])
    moved = [transition.steps(problem.priors.course, lags, hours) for lags, _ in sets]
    forward, noise = (np.ascontiguousarray(np.stack(part, axis=1)) for part in zip(*moved, strict=True))
    rate, sd = surge(problem)[1], problem.priors.course.surge_sd_c_per_h
    began = courses(problem, [weight for _, weight in sets])
    onset = np.array([one.onset for one in began])
    return Timeline(
        layout=layout, events=events, forward=forward, noise=noise, onset=onset, surge=(rate, sd**2)
    )


def begin_surges(held: Hypotheses, begins: NDArray[np.bool_], surge: tuple[float, float]) -> None:
    """Let the rate of some hypotheses begin at N(mean, variance)."""
    held.x[begins, transition.RATE] += surge[0]
    held.P[begins, transition.RATE, transition.RATE] += surge[1]


def beginning(problem: Problem, layout: Layout) -> Found:
    """The hypotheses before anything was read: one for each course."""
    priors, q = problem.priors, layout.moving
    sets = lag_sets(problem, layout.sites, layout.read)
    began = courses(problem, [weight for _, weight in sets])
    older = priors.older_c if problem.age == "65-up" else 0.0
    held = _empty(len(began), layout, len(problem.readings))
    for h, one in enumerate(began):
        level = priors.course.levels[one.level]
        mean, cov = transition.beginning(priors.course, sets[one.lags][0], level.mean_c + older, level.sd_c)
        held.x[h, :q], held.P[h, :q, :q], held.lags[h] = mean, cov, one.lags
    _still(held, problem, layout)
    return Found(
        held=held,
        log_weight=np.array([one.log_chance for one in began]),
        start=np.arange(len(began)),
        path=np.full((len(began), len(problem.readings), 3), -1),
        left_out=0.0,
    )


def _still(held: Hypotheses, problem: Problem, layout: Layout) -> None:
    """The parts that do not move: own differences and instruments' offsets."""
    priors = problem.priors
    for s, site in enumerate(layout.sites[: layout.read]):
        held.P[:, layout.own(s), layout.own(s)] = priors.sites[site].own_sd_c ** 2
    for k, (name, kind) in enumerate(layout.instruments):
        known = priors.instruments.get(name)
        sd = known.sd_c if known else priors.kinds[kind if name else priors.sites[kind].kind].sd_c
        held.x[:, layout.offset(k)] = known.offset_c if known else 0.0
        held.P[:, layout.offset(k), layout.offset(k)] = sd**2


def _empty(many: int, layout: Layout, readings: int) -> Hypotheses:
    d = layout.size
    return Hypotheses(
        x=np.zeros((many, d)),
        P=np.zeros((many, d, d)),
        kept=np.zeros((many, 0)),
        kept_var=np.zeros((many, 0)),
        kept_with=np.zeros((many, 0, d)),
        condition=np.full((many, layout.read), -1),
        state=np.full((many, len(layout.instruments)), -1),
        lags=np.zeros(many, dtype=np.int64),
    )


def _events(problem: Problem, layout: Layout) -> tuple[Onset | Taken, ...]:
    """Onsets and readings in time; of one moment the onset first."""
    course, last = problem.priors.course, dict[str, float]()
    found: list[Onset | Taken] = [Onset(-minutes / 60.0, k) for k, minutes in enumerate(course.onsets)]
    for k, reading in enumerate(in_order(problem)):
        before = last.get(reading.site)
        last[reading.site] = reading.minutes_ago
        seen = _seen(problem, reading, None if before is None else before - reading.minutes_ago)
        found.append(Taken(-reading.minutes_ago / 60.0, k, place_of(problem, layout, reading), seen))
    return tuple(sorted(found, key=lambda event: event.hour))


def place_of(problem: Problem, layout: Layout, reading: Reading) -> Place:
    """Where a reading's site and instrument stand in the state."""
    site, instrument = (
        layout.sites.index(reading.site),
        layout.instruments.index(instrument_of(problem, reading)),
    )
    return Place(
        shown=layout.shown(site), own=layout.own(site), size=layout.condition(site), offset=layout.offset(instrument),
        extra=layout.state(instrument), site=site, instrument=instrument,
    )  # fmt: skip


def _seen(problem: Problem, reading: Reading, minutes: float | None) -> Seen:
    priors = problem.priors
    site = priors.sites[reading.site]
    found = conditions(problem, site)
    stays = 0.0 if reading.prepared or minutes is None else float(np.exp(-minutes / priors.stays_minutes))
    return Seen(
        y=reading.value_c, offset=site.offset_c, slope=site.slope,
        error=site.error_sd_c**2 + ROUNDING_SD_C**2, stays=stays,
        drawn=table(prepared(found) if reading.prepared else found),
        fresh=table(states(problem, priors.kinds[site.kind])), slip=table(slips(problem, site)),
    )  # fmt: skip


def table(choices: Choices) -> Floats:
    """The alternatives as float64[3, m]."""
    return np.stack([choices.log_chance, choices.mean, choices.var])
