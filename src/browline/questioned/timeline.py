"""What every hypothesis passes on its way to now: readings and onsets in time, and the courses it may begin from."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.questioned import transition
from browline.questioned.kernel import Floats, Hypotheses, Observation, Place
from browline.questioned.layout import Layout, build_layout, in_order, instrument_key
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
    """A moment at which a reading was taken: which (earliest first), its place in the state, and what was observed."""

    hour: float
    reading: int
    place: Place
    observation: Observation


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
class Beam:
    """The hypotheses of the beam, with their log weights float64[K]; once a reading is in, the weights sum to 1.

    `start` int64[K]: from which course each began; `path` int64[K, readings, 3]: which branch it took at each reading,
    earliest first: condition, state, slip.
    """

    hypotheses: Hypotheses
    log_weight: Floats
    start: NDArray[np.int64]
    path: NDArray[np.int64]
    left_out: float


def build_timeline(problem: Problem) -> Timeline:
    """The timeline of a problem."""
    layout = build_layout(problem)
    sets = lag_sets(problem, layout.sites, layout.read)
    events = _events(problem, layout)
    hours = np.diff([events[0].hour, *(event.hour for event in events), 0.0])
    moved = [transition.steps(problem.priors.course, lags, hours) for lags, _ in sets]
    forward, noise = (np.ascontiguousarray(np.stack(part, axis=1)) for part in zip(*moved, strict=True))
    rate, sd = surge(problem)[1], problem.priors.course.surge_sd_c_per_h
    began = courses(problem, [weight for _, weight in sets])
    onset = np.array([choice.onset for choice in began])
    return Timeline(
        layout=layout, events=events, forward=forward, noise=noise, onset=onset, surge=(rate, sd**2)
    )


def begin_surges(hypotheses: Hypotheses, begins: NDArray[np.bool_], surge: tuple[float, float]) -> None:
    """Add N(mean, variance), °C per hour, to the rate of the hypotheses of `begins`, bool[K]."""
    hypotheses.x[begins, transition.RATE] += surge[0]
    hypotheses.P[begins, transition.RATE, transition.RATE] += surge[1]


def beginning(problem: Problem, layout: Layout) -> Beam:
    """The hypotheses before anything was read: one for each course."""
    priors, q = problem.priors, layout.moving
    sets = lag_sets(problem, layout.sites, layout.read)
    began = courses(problem, [weight for _, weight in sets])
    older = priors.older_c if problem.age == "65-up" else 0.0
    hypotheses = _empty(len(began), layout, len(problem.readings))
    for h, choice in enumerate(began):
        level = priors.course.levels[choice.level]
        mean, cov = transition.beginning(
            priors.course, sets[choice.lags][0], level.mean_c + older, level.sd_c
        )
        hypotheses.x[h, :q], hypotheses.P[h, :q, :q], hypotheses.lags[h] = mean, cov, choice.lags
    _still(hypotheses, problem, layout)
    return Beam(
        hypotheses=hypotheses,
        log_weight=np.array([choice.log_probability for choice in began]),
        start=np.arange(len(began)),
        path=np.full((len(began), len(problem.readings), 3), -1),
        left_out=0.0,
    )


def _still(hypotheses: Hypotheses, problem: Problem, layout: Layout) -> None:
    """The parts that do not move: differences of sites and instruments' offsets."""
    priors = problem.priors
    for s, site in enumerate(layout.sites[: layout.read]):
        hypotheses.P[:, layout.difference(s), layout.difference(s)] = priors.sites[site].own_sd_c ** 2
    for k, (name, kind) in enumerate(layout.instruments):
        known = priors.instruments.get(name)
        sd = known.sd_c if known else priors.kinds[kind if name else priors.sites[kind].kind].sd_c
        hypotheses.x[:, layout.offset(k)] = known.offset_c if known else 0.0
        hypotheses.P[:, layout.offset(k), layout.offset(k)] = sd**2


def _empty(size: int, layout: Layout, readings: int) -> Hypotheses:
    d = layout.size
    return Hypotheses(
        x=np.zeros((size, d)),
        P=np.zeros((size, d, d)),
        copies=np.zeros((size, 0)),
        copy_var=np.zeros((size, 0)),
        copy_cov=np.zeros((size, 0, d)),
        condition=np.full((size, layout.read), -1),
        state=np.full((size, len(layout.instruments)), -1),
        lags=np.zeros(size, dtype=np.int64),
    )


def _events(problem: Problem, layout: Layout) -> tuple[Onset | Taken, ...]:
    """Onsets and readings in time; of one moment the onset first."""
    course, last = problem.priors.course, dict[str, float]()
    events: list[Onset | Taken] = [Onset(-minutes / 60.0, k) for k, minutes in enumerate(course.onsets)]
    for k, reading in enumerate(in_order(problem)):
        before = last.get(reading.site)
        last[reading.site] = reading.minutes_ago
        observation = _observation(problem, reading, None if before is None else before - reading.minutes_ago)
        events.append(Taken(-reading.minutes_ago / 60.0, k, locate(problem, layout, reading), observation))
    return tuple(sorted(events, key=lambda event: event.hour))


def locate(problem: Problem, layout: Layout, reading: Reading) -> Place:
    """Where a reading's site and instrument stand in the state."""
    site, instrument = (
        layout.sites.index(reading.site),
        layout.instruments.index(instrument_key(problem, reading)),
    )
    return Place(
        temperature=layout.temperature(site), difference=layout.difference(site), size=layout.condition(site),
        offset=layout.offset(instrument), extra=layout.state(instrument), site=site, instrument=instrument,
    )  # fmt: skip


def _observation(problem: Problem, reading: Reading, minutes: float | None) -> Observation:
    priors = problem.priors
    site = priors.sites[reading.site]
    choices = conditions(problem, site)
    stays = 0.0 if reading.prepared or minutes is None else float(np.exp(-minutes / priors.stays_minutes))
    return Observation(
        y=reading.value_c, offset=site.offset_c, slope=site.slope,
        error=site.error_sd_c**2 + ROUNDING_SD_C**2, stays=stays,
        drawn=table(prepared(choices) if reading.prepared else choices),
        fresh=table(states(problem, priors.kinds[site.kind])), slip=table(slips(problem, site)),
    )  # fmt: skip


def table(choices: Choices) -> Floats:
    """The alternatives as float64[3, m]: log probability, mean (°C), variance (°C²)."""
    return np.stack([choices.log_probability, choices.mean, choices.var])
