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
from browline.variation.effects.joint_posterior import JointPosterior, joint_posterior
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
    partners: Partners = {}
    joint = joint_posterior(over, against)
    for a, b in joint.across:
        for i, j, correlation in strong(joint, a, b, kinds):
            total = float(joint.mean[a][i] + joint.mean[b][j])
            square = joint.variance[a][i] + 2 * joint.across[a, b][i, j] + joint.variance[b][j]
            sd = float(np.sqrt(max(square, 0.0)))
            for (kind, level), (partner_kind, place) in (((a, i), (b, j)), ((b, j), (a, i))):
                name = names[partner_kind][int(kinds[partner_kind].subject[place])]
                partner = Partner(
                    factor=partner_kind, name=name, correlation=correlation, sum_c=total, sum_sd_c=sd
                )
                partners[kind, level] = (*partners.get((kind, level), ()), partner)
    return partners


def strong(
    joint: JointPosterior, a: str, b: str, kinds: Mapping[str, Levels]
) -> list[tuple[int, int, float]]:
    """The confounded pairs of levels of two kinds, with their correlation."""
    sd: list[Floats] = [np.sqrt(np.maximum(joint.variance[n], 1e-300)) for n in (a, b)]
    correlation = joint.across[a, b] / np.outer(*sd)
    unknown = (joint.share[a][:, None] < SHARE_KNOWN) | (joint.share[b][None, :] < SHARE_KNOWN)
    latest = kinds[a].latest[:, None] & kinds[b].latest[None, :]
    pairs = np.argwhere((correlation <= CORRELATED) & unknown & latest)
    return [(int(i), int(j), float(correlation[i, j])) for i, j in pairs]
