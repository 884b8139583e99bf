"""Which readings misled and by what, and the ways in which the readings hang together."""

from collections import defaultdict
from collections.abc import Mapping

import numpy as np
from scipy.special import ndtr

from browline.questioned.kernel import Floats
from browline.questioned.layout import in_order, instrument_of
from browline.questioned.mixture import core
from browline.questioned.problem import Problem
from browline.questioned.result import MISLEADS_C, Misled, Story
from browline.questioned.trace import Traced

PARTS = ("lag", "site", "condition", "instrument", "slip", "scatter")
SEPARATOR = "\n"
AGREE = SEPARATOR.join(("agree", "", ""))
# A story lighter than this is not told, unless it is the bias that the readings of one site share.
LEAST = 0.01


def misled(problem: Problem, traced: Traced) -> tuple[Misled, ...]:
    """For each reading, in the order of the problem."""
    sizes, chance = _sizes(traced), _chances(problem, traced)
    cause = _causes(problem, traced, sizes)
    found = [_misled(problem, traced, k, chance[:, k], cause[:, k]) for k in range(len(problem.readings))]
    return tuple(found[k] for k in _places(problem))


def stories(problem: Problem, traced: Traced) -> tuple[Story, ...]:
    """Every way that is likely enough, the likeliest first; see `Story`."""
    sizes, chance = _sizes(traced), _chances(problem, traced)
    cause = _causes(problem, traced, sizes)
    misleads = chance > 0.5
    keys = _keys(problem, cause, misleads)
    lead = np.where(misleads, np.abs(sizes).max(axis=0), -1.0).argmax(axis=1)
    leading = keys[np.arange(len(lead)), lead]
    told = {key: traced.weight[leading == key] for key in sorted(set(leading))}
    share = {key: float(weight.sum()) for key, weight in told.items()}
    touched = {key: traced.weight @ ((leading == key)[:, None] & (keys == key)) for key in told}
    found = [
        _story(problem, key, share.get(key, 0.0), touched.get(key)) for key in _worth_telling(problem, share)
    ]
    return tuple(sorted(found, key=lambda story: -story.chance))


def _keys(problem: Problem, cause: np.ndarray, misleads: np.ndarray) -> np.ndarray:
    """Key of the story of each reading, an object array [K, n]; of one that did not mislead, that they agree."""
    keys = np.empty(cause.shape, dtype=object)
    keys[:] = AGREE
    for k in range(cause.shape[1]):
        for what in set(cause[misleads[:, k], k]):
            here = misleads[:, k] & (cause[:, k] == what)
            keys[here, k] = SEPARATOR.join(_key(problem, str(what), k))
    return keys


def _sizes(traced: Traced) -> Floats:
    """float64[parts, K, n]: each part, 0 where it does not point the way the reading is off."""
    parts = np.stack(
        [traced.lag, traced.site, traced.condition, traced.instrument, traced.slip, traced.scatter]
    )
    return np.where(np.sign(parts) == np.sign(parts.sum(axis=0)), parts, 0.0)


def _chances(problem: Problem, traced: Traced) -> Floats:
    """float64[K, n]: the chance in each hypothesis that the reading was further than `MISLEADS_C` from the core."""
    value = np.array([reading.value_c for reading in in_order(problem)])
    sd = np.sqrt(np.maximum(traced.var, 1e-12))
    off = value - traced.mean
    return np.asarray(ndtr((off - MISLEADS_C) / sd) + ndtr((-off - MISLEADS_C) / sd))


def _causes(problem: Problem, traced: Traced, sizes: Floats) -> np.ndarray:
    """str[K, n]: the largest part of each reading, by the name of what held."""
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
            here = named[:, k] == part
            named[here, k] = np.array(words, dtype=object)[traced.which[here, k, column]]
    return np.asarray(named)


def _misled(problem: Problem, traced: Traced, k: int, chance: Floats, cause: np.ndarray) -> Misled:
    by: dict[str, float] = defaultdict(float)
    for name, share in zip(cause, traced.weight * chance, strict=True):
        by[str(name)] += float(share)
    value = in_order(problem)[k].value_c
    return Misled(
        core=core(traced.weight, traced.mean[:, k], traced.var[:, k], problem.fever_c, problem.low_c),
        by_c=value - float(traced.weight @ traced.mean[:, k]),
        chance=float(traced.weight @ chance),
        causes=dict(sorted(by.items(), key=lambda item: -item[1])),
    )


def _key(problem: Problem, what: str, k: int) -> tuple[str, str, str]:
    """A cause with what it belongs to: the instrument for its states, else the site of the reading."""
    reading = in_order(problem)[k]
    of_instrument = {s.name for kind in problem.priors.kinds.values() for s in kind.states} | {"instrument"}
    if what in of_instrument:
        return what, "" if reading.instrument else reading.site, instrument_of(problem, reading)[0]
    return what, reading.site, ""


def _worth_telling(problem: Problem, share: Mapping[str, float]) -> list[str]:
    """What is likely enough, and the bias that readings of one site share, wherever a site was read more than once."""
    sites = [reading.site for reading in problem.readings]
    shared = [SEPARATOR.join(("site", site, "")) for site in dict.fromkeys(sites) if sites.count(site) > 1]
    return [*(key for key in share if share[key] >= LEAST and key not in shared), *shared]


def _story(problem: Problem, key: str, share: float, touched: Floats | None) -> Story:
    what, site, instrument = key.split(SEPARATOR)
    order = _places(problem)
    if touched is None:
        touches = tuple(k for k, reading in enumerate(problem.readings) if reading.site == site)
    else:
        touches = tuple(k for k, place in enumerate(order) if touched[place] > 0.5 * share)
    return Story(
        what=what, site=site, instrument=instrument, readings=touches, chance=share, shared=len(touches) > 1
    )


def _places(problem: Problem) -> Mapping[int, int] | list[int]:
    """Where each reading of the problem stands in time."""
    order = sorted(range(len(problem.readings)), key=lambda k: -problem.readings[k].minutes_ago)
    place = [0] * len(order)
    for where, k in enumerate(order):
        place[k] = where
    return place
