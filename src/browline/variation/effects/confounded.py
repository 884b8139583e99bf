"""What cannot be told apart: contrasts of different kinds of which the readings know only the sum.

A ward and its only instrument, a person and their own instrument: the posterior correlation of the two contrasts is
CORRELATED or below and the data share of at least one is under SHARE_KNOWN. In the limit, with the sum known
and nothing else, the two shares add up to 1. The two numbers are our choice.
"""

from collections.abc import Mapping

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.contrasts import Comparison
from browline.variation.effects.integrate import Integrated
from browline.variation.effects.joint_posterior import Together, together
from browline.variation.levels import Levels
from browline.variation.result import Partner

CORRELATED, SHARE_KNOWN = -0.7, 0.5

Partners = dict[tuple[str, int], tuple[Partner, ...]]


def confounded(
    over: Integrated,
    against: Mapping[str, Comparison],
    kinds: Mapping[str, Levels],
    names: Mapping[str, tuple[str, ...]],
) -> Partners:
    """The confounded partners of every latest level, by (kind, level)."""
    made: Partners = {}
    found = together(over, against)
    for a, b in found.across:
        for i, j, correlation in strong(found, a, b, kinds):
            total = float(found.mean[a][i] + found.mean[b][j])
            square = found.variance[a][i] + 2 * found.across[a, b][i, j] + found.variance[b][j]
            sd = float(np.sqrt(max(square, 0.0)))
            for (kind, level), (other, place) in (((a, i), (b, j)), ((b, j), (a, i))):
                name = names[other][int(kinds[other].subject[place])]
                partner = Partner(factor=other, name=name, correlation=correlation, sum_c=total, sum_sd_c=sd)
                made[kind, level] = (*made.get((kind, level), ()), partner)
    return made


def strong(found: Together, a: str, b: str, kinds: Mapping[str, Levels]) -> list[tuple[int, int, float]]:
    """The confounded pairs of levels of two kinds, with their correlation."""
    sd: list[Floats] = [np.sqrt(np.maximum(found.variance[n], 1e-300)) for n in (a, b)]
    correlation = found.across[a, b] / np.outer(*sd)
    unknown = (found.share[a][:, None] < SHARE_KNOWN) | (found.share[b][None, :] < SHARE_KNOWN)
    latest = kinds[a].latest[:, None] & kinds[b].latest[None, :]
    pairs = np.argwhere((correlation <= CORRELATED) & unknown & latest)
    return [(int(i), int(j), float(correlation[i, j])) for i, j in pairs]
