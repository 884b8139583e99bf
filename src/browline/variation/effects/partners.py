"""What an effect cannot be told from: contrasts of different kinds of which only the sum is known.

Two effects are *confounded* where their posterior correlation is -0.7 or below and the data share of at least one is
under 0.5. The two numbers are our choice.
"""

from collections.abc import Mapping

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.compared import Compared
from browline.variation.fit import Fit
from browline.variation.levels import Levels
from browline.variation.result import Partner

CORRELATED, SHARE_KNOWN = -0.7, 0.5

Partners = dict[tuple[str, int], tuple[Partner, ...]]


def partners(
    fit: Fit,
    compared: Mapping[str, Compared],
    kinds: Mapping[str, Levels],
    names: Mapping[str, tuple[str, ...]],
) -> Partners:
    """The confounded partners of every latest level, by (kind, level)."""
    made: Partners = {}
    slices = fit.model.columns.slices()
    ordered = list(compared)
    own = {n: _own(fit.at.covariance[slices[n], slices[n]], compared[n]) for n in ordered}
    for i, a in enumerate(ordered):
        for b in ordered[i + 1 :]:
            across = compared[a].against.of(fit.at.covariance[slices[a], slices[b]])
            across = compared[b].against.of(across.T).T
            _pairs(made, a, b, across, own, compared, kinds, names)
    return made


def _own(covariance: Floats, compared: Compared) -> Floats:
    return np.diag(compared.against.within(covariance)).copy()


def _pairs(
    made: Partners,
    a: str,
    b: str,
    across: Floats,
    own: Mapping[str, Floats],
    compared: Mapping[str, Compared],
    kinds: Mapping[str, Levels],
    names: Mapping[str, tuple[str, ...]],
) -> None:
    """Add the confounded pairs of two kinds, each to both."""
    sd_a, sd_b = (np.sqrt(np.maximum(own[n], 1e-300)) for n in (a, b))
    strong = across <= CORRELATED * np.outer(sd_a, sd_b)
    unknown = (compared[a].share[:, None] < SHARE_KNOWN) | (compared[b].share[None, :] < SHARE_KNOWN)
    latest = kinds[a].latest[:, None] & kinds[b].latest[None, :]
    for i, j in np.argwhere(strong & unknown & latest):
        correlation = float(across[i, j] / sd_a[i] / sd_b[j])
        total = float(compared[a].offset[i] + compared[b].offset[j])
        sd = float(np.sqrt(max(own[a][i] + 2 * across[i, j] + own[b][j], 0.0)))
        for (kind, level), (other, place) in (((a, i), (b, j)), ((b, j), (a, i))):
            name = names[other][int(kinds[other].subject[place])]
            partner = Partner(other, name, correlation, total, sd)
            made[kind, int(level)] = (*made.get((kind, int(level)), ()), partner)
