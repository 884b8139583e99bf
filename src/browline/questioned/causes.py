"""Which readings misled and by what, and the ways in which the readings hang together."""

from collections import defaultdict
from collections.abc import Mapping

import numpy as np
from scipy.special import ndtr

from browline.questioned.kernel import Floats
from browline.questioned.layout import in_order, instrument_key
from browline.questioned.mixture import core
from browline.questioned.problem import Problem
from browline.questioned.result import MISLEADS_C, Misled, Story
from browline.questioned.trace import Traced

PARTS = ("lag", "site", "condition", "instrument", "slip", "scatter")
SEPARATOR = "\n"
AGREE = SEPARATOR.join(("agree", "", ""))
# A story lighter than this is left out, unless it is the bias that the readings of one site share.
LEAST = 0.01


def misled(problem: Problem, traced: Traced) -> tuple[Misled, ...]:
    """For each reading, in the order of the problem."""
    sizes, probability = _sizes(traced), _probabilities(problem, traced)
    cause = _causes(problem, traced, sizes)
    rows = [_misled(problem, traced, k, probability[:, k], cause[:, k]) for k in range(len(problem.readings))]
    return tuple(rows[k] for k in _places(problem))


def stories(problem: Problem, traced: Traced) -> tuple[Story, ...]:
    """Every way that is likely enough, the likeliest first; see `Story`."""
    sizes, probability = _sizes(traced), _probabilities(problem, traced)
    cause = _causes(problem, traced, sizes)
    misleads = probability > 0.5
    keys = _keys(problem, cause, misleads)
    lead = np.where(misleads, np.abs(sizes).max(axis=0), -1.0).argmax(axis=1)
    leading = keys[np.arange(len(lead)), lead]
    weights = {key: traced.weight[leading == key] for key in sorted(set(leading))}
    probabilities = {key: float(weight.sum()) for key, weight in weights.items()}
    support = {key: traced.weight @ ((leading == key)[:, None] & (keys == key)) for key in weights}
    rows = [
        _story(problem, key, probabilities.get(key, 0.0), support.get(key))
        for key in _worth_telling(problem, probabilities)
    ]
    return tuple(sorted(rows, key=lambda story: -story.chance))


def _keys(problem: Problem, cause: np.ndarray, misleads: np.ndarray) -> np.ndarray:
    """Key of the story of each reading, an object array [K, n]; of one that did not mislead, that they agree."""
    keys = np.empty(cause.shape, dtype=object)
    keys[:] = AGREE
    for k in range(cause.shape[1]):
        for name in set(cause[misleads[:, k], k]):
            named = misleads[:, k] & (cause[:, k] == name)
            keys[named, k] = SEPARATOR.join(_key(problem, str(name), k))
    return keys


def _sizes(traced: Traced) -> Floats:
    """float64[parts, K, n]: each part, 0 where it does not point the way the reading is off."""
    parts = np.stack(
        [traced.lag, traced.site, traced.condition, traced.instrument, traced.slip, traced.scatter]
    )
    return np.where(np.sign(parts) == np.sign(parts.sum(axis=0)), parts, 0.0)


def _probabilities(problem: Problem, traced: Traced) -> Floats:
    """float64[K, n]: in each hypothesis, the probability that a reading was over `MISLEADS_C` from the core."""
    value = np.array([reading.value_c for reading in in_order(problem)])
    sd = np.sqrt(np.maximum(traced.var, 1e-12))
    off = value - traced.mean
    return np.asarray(ndtr((off - MISLEADS_C) / sd) + ndtr((-off - MISLEADS_C) / sd))


def _causes(problem: Problem, traced: Traced, sizes: Floats) -> np.ndarray:
    """str[K, n]: the largest part of each reading, by the name of its cause."""
    leading = np.abs(sizes).argmax(axis=0)
    named = np.array(PARTS, dtype=object)[leading]
    for k, reading in enumerate(in_order(problem)):
        site = problem.priors.sites[reading.site]
        names = {
            "condition": ("site", *(shift.name for shift in site.conditions if shift.odds > 0)),
            "instrument": (
                "instrument",
                *(s.name for s in problem.priors.kinds[site.kind].states if s.odds > 0),
            ),
            "slip": (
                "scatter",
                *(shift.name for shift in (site.slip, problem.priors.gross) if shift.odds > 0),
            ),
        }
        for column, (part, words) in enumerate(names.items()):
            rows = named[:, k] == part
            named[rows, k] = np.array(words, dtype=object)[traced.which[rows, k, column]]
    return np.asarray(named)


def _misled(problem: Problem, traced: Traced, k: int, probability: Floats, cause: np.ndarray) -> Misled:
    by: dict[str, float] = defaultdict(float)
    for name, weight in zip(cause, traced.weight * probability, strict=True):
        by[str(name)] += float(weight)
    value = in_order(problem)[k].value_c
    return Misled(
        core=core(traced.weight, traced.mean[:, k], traced.var[:, k], problem.fever_c, problem.low_c),
        by_c=value - float(traced.weight @ traced.mean[:, k]),
        chance=float(traced.weight @ probability),
        causes=dict(sorted(by.items(), key=lambda item: -item[1])),
    )


def _key(problem: Problem, name: str, k: int) -> tuple[str, str, str]:
    """A cause with what it belongs to: the instrument for its states, else the site of the reading."""
    reading = in_order(problem)[k]
    instrument_causes = {s.name for kind in problem.priors.kinds.values() for s in kind.states} | {
        "instrument"
    }
    if name in instrument_causes:
        return name, "" if reading.instrument else reading.site, instrument_key(problem, reading)[0]
    return name, reading.site, ""


def _worth_telling(problem: Problem, probabilities: Mapping[str, float]) -> list[str]:
    """What is likely enough, and the bias that readings of one site share, wherever a site was read more than once."""
    sites = [reading.site for reading in problem.readings]
    shared = [SEPARATOR.join(("site", site, "")) for site in dict.fromkeys(sites) if sites.count(site) > 1]
    return [*(key for key in probabilities if probabilities[key] >= LEAST and key not in shared), *shared]


def _story(problem: Problem, key: str, probability: float, support: Floats | None) -> Story:
    name, site, instrument = key.split(SEPARATOR)
    order = _places(problem)
    if support is None:
        touches = tuple(k for k, reading in enumerate(problem.readings) if reading.site == site)
    else:
        touches = tuple(k for k, place in enumerate(order) if support[place] > 0.5 * probability)
    return Story(
        what=name,
        site=site,
        instrument=instrument,
        readings=touches,
        chance=probability,
        shared=len(touches) > 1,
    )


def _places(problem: Problem) -> Mapping[int, int] | list[int]:
    """Where each reading of the problem stands in time."""
    order = sorted(range(len(problem.readings)), key=lambda k: -problem.readings[k].minutes_ago)
    place = [0] * len(order)
    for where, k in enumerate(order):
        place[k] = where
    return place
