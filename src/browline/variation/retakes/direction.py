"""One order of sites turned into an offset of the site against the reference, with each stay's pull on it.

Forward: first readings at the reference, retakes at the site; the mean change is the offset. Backward: first
readings at the site, retakes at the reference; the offset is minus the mean change. Either stands at the mean
temperature of its own first readings. Where the site rises by lambda for one degree of the reference the offset
at 37.0 differs,

    offset at 37 = offset - (lambda - 1) (level - 37)

with lambda from a w that goes with the patient's temperature but with no error of the pair,
``lambda = cov(retake, w) / cov(first, w)``, the retake of every first reading through its doubly robust term. w is
the stay's first reading before at this site less the mean of those before it (`Firsts.rise`): a patient's constant
difference at the site cancels in it, which the earlier reading alone would take for slope.

The course moves a little between the two readings of a pair; over all first readings that comes to nothing.

Source: two-stage least squares with the past as the instrument, Fuller 1987, section 1.4 (from memory).
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.retakes.cluster_robust import Pull, standard_error
from browline.variation.retakes.standardised import Standardised

NORMAL_C = 37.0
FEWEST_WITH_PAST = 100
VAGUE_SLOPE = 0.35


@dataclass(frozen=True)
class Levelled:
    """The offset brought to 37.0 °C: `offset` °C with its `pull` float64[n], and the `slope` used, `slope_sd`."""

    offset: float
    pull: Floats
    slope: float
    slope_sd: float


@dataclass(frozen=True)
class Direction:
    """One order's answer: `sign` +1 forward, -1 backward; `pull` float64[n], °C, one for each first reading.

    - `offset`, `level` in °C: site against reference, and the reference's mean temperature it stands at.
    - `at_37`: None where the slope cannot be told.
    """

    source: Standardised
    sign: int
    offset: float
    pull: Floats
    level: float
    at_37: Levelled | None

    def of_stays(self, pull: Floats) -> Pull:
        """A pull with the stays it belongs to."""
        return self.source.given.stay, pull


def direction(source: Standardised, sign: int) -> Direction:
    """The offset of one order, and at 37.0 °C where the stays' earlier readings tell the slope."""
    value = source.given.value
    level = float(value.mean()) + (source.mean if sign < 0 else 0.0)
    return Direction(
        source=source,
        sign=sign,
        offset=sign * source.mean,
        pull=sign * source.pull,
        level=level,
        at_37=_levelled(source, sign, level),
    )


def _levelled(source: Standardised, sign: int, level: float) -> Levelled | None:
    """offset - (slope - 1) (level - 37), with the pulls of all three; None where the slope is vague."""
    slope_and_pull = _slope(source, sign)
    if slope_and_pull is None:
        return None
    slope, slope_pull = slope_and_pull
    slope_sd = standard_error([(source.given.stay, slope_pull)])
    if slope_sd > VAGUE_SLOPE:
        return None
    value = source.given.value
    level_pull = (value - value.mean()) / len(value) + (source.pull if sign < 0 else 0.0)
    pull = sign * source.pull - (slope - 1) * level_pull - (level - NORMAL_C) * slope_pull
    offset = sign * source.mean - (slope - 1) * (level - NORMAL_C)
    return Levelled(offset, np.asarray(pull), slope, slope_sd)


def _slope(source: Standardised, sign: int) -> tuple[float, Floats] | None:
    """The site's slope against the reference and each first reading's pull on it."""
    ratio_and_pull = _ratio(source)
    if ratio_and_pull is None or sign > 0:
        return ratio_and_pull
    ratio, pull = ratio_and_pull
    return 1 / ratio, -pull / ratio**2


def _ratio(source: Standardised) -> tuple[float, Floats] | None:
    """cov(retake, w) / cov(first, w) over first readings with a w, and each one's pull; None for too few."""
    given = source.given
    some = np.isfinite(given.rise)
    if some.sum() < FEWEST_WITH_PAST:
        return None

    def centred(values: Floats) -> Floats:
        return np.asarray(np.where(some, values - values[some].mean(), 0.0))

    w, first, retake = centred(given.rise), centred(given.value), centred(given.value + source.terms)
    shared = float(w @ first)
    ratio = float(w @ retake) / shared if shared > 0 else 0.0
    return (ratio, w * (retake - ratio * first) / shared) if ratio > 0 else None
