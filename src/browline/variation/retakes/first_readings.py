"""First readings of episodes at one site, whether the next look was at the other, and the stay around them.

The first reading is what the person at the bedside saw before deciding to look again; readings later in the
episode were already chosen by earlier ones, so they never count as firsts. Two readings of one minute are taken
in the order of their rows.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Codes, Floats
from browline.variation.problem import Problem


@dataclass(frozen=True)
class Firsts:
    """n first readings at one site.

    - `value` float64[n], °C. `retaken` bool[n]: the next reading of the episode was at the other site.
    - `change` float64[n], °C, retake less first, 0 if none; `gap` hours between the two, NaN if none.
    - `stay` int64[n].
    - `previous`, `usual`: the stay's last reading before, and the mean of all before; `following`: the stay's next
      first reading at this site. All in °C from the mean of the site each was taken at; NaN where there is none.
    - `rise`: the stay's first reading before at this site less the mean of those before it, °C; NaN for fewer than two.
    - `centre`: mean of all readings at this site, °C.
    """

    value: Floats
    retaken: NDArray[np.bool_]
    change: Floats
    gap: Floats
    stay: Codes
    previous: Floats
    usual: Floats
    following: Floats
    rise: Floats
    centre: float

    @property
    def pairs(self) -> int:
        """How many were retaken at the other site."""
        return int(self.retaken.sum())

    @property
    def surprise(self) -> Floats:
        """How far each value lies from the stay's reading before, °C; from the site's mean where none came before."""
        return np.asarray(self.value - self.centre - np.nan_to_num(self.previous))

    @property
    def history(self) -> Floats:
        """Columns of the past: whether there is one, and `previous` and `usual` (0 where none), float64[n, 3]."""
        past = [np.isfinite(self.previous), np.nan_to_num(self.previous), np.nan_to_num(self.usual)]
        return np.column_stack(past).astype(float)


def firsts(problem: Problem, first: int, retake: int) -> Firsts:
    """First readings of episodes at site `first`, with the next one of the episode where it is at `retake`."""
    if problem.stay is None or problem.episode is None:
        return _none()
    readings = problem.readings
    row = readings.row if len(readings.row) else np.arange(len(readings))
    order = np.lexsort((row, readings.time, problem.episode))
    episode, site, stay = problem.episode[order], problem.site[order], problem.stay[order]
    value, time = readings.value[order], readings.time[order]
    opens = np.flatnonzero(np.diff(episode, prepend=-1) != 0)
    opens = opens[site[opens] == first]
    if not len(opens):
        return _none()
    after = np.minimum(opens + 1, len(order) - 1)
    retaken = (episode[after] == episode[opens]) & (after > opens) & (site[after] == retake)
    centres = np.bincount(site, value) / np.maximum(np.bincount(site), 1)
    deviation = value - centres[site]
    previous, usual = _before(deviation, stay, opens)
    return Firsts(
        value=value[opens],
        retaken=retaken,
        change=np.where(retaken, value[after] - value[opens], 0.0),
        gap=np.where(retaken, time[after] - time[opens], np.nan),
        stay=stay[opens],
        previous=previous,
        usual=usual,
        following=_after(deviation[opens], stay[opens]),
        rise=_rise(deviation[opens], stay[opens]),
        centre=float(centres[first]),
    )


def _before(deviation: Floats, stay: Codes, opens: Codes) -> tuple[Floats, Floats]:
    """The reading before each opening in its stay and the mean of all before; NaN where there is none."""
    begins = np.flatnonzero(np.diff(stay, prepend=-1) != 0)
    start = begins[np.searchsorted(begins, opens, side="right") - 1]
    summed = np.concatenate([[0.0], np.cumsum(deviation)])
    count = opens - start
    some = count > 0
    usual = np.where(some, (summed[opens] - summed[start]) / np.maximum(count, 1), np.nan)
    return np.where(some, deviation[np.maximum(opens - 1, 0)], np.nan), usual


def _rise(deviation: Floats, stay: Codes) -> Floats:
    """The first reading before less the mean of all before it in the stay; NaN where fewer than two came before."""
    previous, _ = _before(deviation, stay, np.arange(len(stay)))
    rise = np.full(len(stay), np.nan)
    if len(stay) > 1:
        _, earlier = _before(deviation, stay, np.arange(len(stay) - 1))
        same = stay[1:] == stay[:-1]
        rise[1:][same] = (previous[1:] - earlier)[same]
    return rise


def _after(deviation: Floats, stay: Codes) -> Floats:
    """The next first reading of the same stay; NaN where there is none."""
    following = np.full(len(stay), np.nan)
    same = stay[1:] == stay[:-1]
    following[:-1][same] = deviation[1:][same]
    return following


def _none() -> Firsts:
    nothing = np.zeros(0)
    return Firsts(
        value=nothing,
        retaken=nothing.astype(bool),
        change=nothing,
        gap=nothing,
        stay=nothing.astype(np.int64),
        previous=nothing,
        usual=nothing,
        following=nothing,
        rise=nothing,
        centre=37.0,
    )
