"""Each instrument, person and ward against the others of its kind, and what it cannot be told from.

Raw effects share the unknown mean of their kind, so every effect is read as a contrast: its own segment less
the middle of the others' latest segments. The middle is a mean with weights

    w_k = [|u_k - median| <= OUTLYING s] / (C_kk + s^2),   s = 1.4826 median |u - median|

so that a few faulty instruments, or some that are hardly known, do not move what the sound ones are compared
with. For fixed weights the contrast ``u_l - sum w_k u_k / sum w_k`` is linear, and so is its covariance:

    variance = l' C l,  data share = 1 - variance / (prior variance of the same contrast)

Two effects of different kinds are *confounded* where their centred posterior correlation is -0.7 or below and
the data share of at least one is under 0.5: their sum is known, each is not. The two numbers are our choice.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.design import Design, Floats
from browline.variation.fit import Fit
from browline.variation.levels import Levels
from browline.variation.result import Partner

CORRELATED, SHARE_KNOWN = -0.7, 0.5
OUTLYING, LEAST_SPREAD_C = 3.0, 0.02


@dataclass(frozen=True)
class Contrasts:
    """The contrasts of all levels of all kinds.

    - `offset`, `share` float64[q]; `covariance` float64[q, q] °C^2, the model's own.
    - `wide` float64[q] °C: the sd that intervals use, the larger of the model's and the robust one.
    """

    offset: Floats
    covariance: Floats
    share: Floats
    wide: Floats

    def sd(self) -> Floats:
        """The model's own posterior sd of each contrast, °C."""
        return np.sqrt(np.maximum(np.diag(self.covariance), 0.0))


def contrasts(
    design: Design, fit: Fit, levels: Mapping[str, Levels], robust: Floats | None = None
) -> Contrasts:
    """Every level less the middle of the other subjects' latest levels.

    `robust` float64[q + p, q + p] over sigma^2: the covariance of robust.py; without it intervals are the model's.
    """
    q, prior = design.width, np.zeros(design.width)
    covariance = fit.at.covariance[:q, :q] * fit.sigma**2
    doubted = covariance.copy() if robust is None else robust[:q, :q] * fit.sigma**2
    offset, doubt = fit.at.u.copy(), np.zeros(q)
    for name, part in design.slices().items():
        take = against_others(levels[name], middle(levels[name], offset[part], np.diag(covariance)[part]))
        doubt[part] = ((take @ doubted[part, part]) * take).sum(1)
        offset[part] = take @ offset[part]
        covariance[part] = take @ covariance[part]
        covariance[:, part] = covariance[:, part] @ take.T
        prior[part] = fit.sd(name) ** 2 * (take**2).sum(1)
    left = np.diag(covariance) / np.where(prior > 0, prior, 1.0)
    share = np.where(prior > 0, np.clip(1.0 - left, 0.0, 1.0), 0.0)
    wide = np.sqrt(np.maximum(np.maximum(np.diag(covariance), doubt), 0.0))
    return Contrasts(offset, covariance, share, wide)


def middle(kind: Levels, u: Floats, variance: Floats) -> Floats:
    """Weights float64[levels] of the latest levels in the middle of their kind; 0 for segments gone by."""
    latest = u[kind.latest]
    centre = float(np.median(latest)) if len(latest) else 0.0
    spread = max(1.4826 * float(np.median(np.abs(latest - centre))) if len(latest) else 0.0, LEAST_SPREAD_C)
    inlying = np.abs(u - centre) <= OUTLYING * spread
    return np.where(kind.latest & inlying, 1.0 / (np.maximum(variance, 0.0) + spread**2), 0.0)


def against_others(kind: Levels, weights: Floats) -> Floats:
    """The matrix that takes the weighted mean of the other subjects' levels off each level.

    >>> from browline.variation.levels import levels
    >>> (against_others(levels(np.array([0, 1, 2])), np.ones(3)) @ [3.0, 0.0, 1.0]).tolist()
    [2.5, -2.0, -0.5]
    """
    others = np.where(kind.subject[:, None] == kind.subject[None, :], 0.0, weights[None, :])
    total = others.sum(1, keepdims=True)
    return np.asarray(
        np.eye(len(weights)) - np.divide(others, total, out=np.zeros_like(others), where=total > 0)
    )


def partners(
    design: Design, levels: Mapping[str, Levels], names: Mapping[str, tuple[str, ...]], found: Contrasts
) -> dict[tuple[str, int], tuple[Partner, ...]]:
    """The confounded partners of every latest level, by (kind, level)."""
    sd = found.sd()
    safe = np.where(sd > 0, sd, np.inf)
    latest = np.concatenate([levels[name].latest for name in design.slices()] or [np.zeros(0, bool)])
    kind = np.repeat(np.arange(len(design.factors)), [f.levels for f in design.factors])
    strong = found.covariance <= CORRELATED * np.outer(safe, safe)
    unknown = (found.share[:, None] < SHARE_KNOWN) | (found.share[None, :] < SHARE_KNOWN)
    both = strong & unknown & (kind[:, None] != kind[None, :]) & latest[:, None] & latest[None, :]
    made: dict[tuple[str, int], tuple[Partner, ...]] = {}
    slices = list(design.slices().items())
    for i, j in np.argwhere(both):
        (a, part_a), (b, part_b) = slices[kind[i]], slices[kind[j]]
        level, other = int(i - part_a.start), int(j - part_b.start)
        c = found.covariance
        sum_sd = float(np.sqrt(max(c[i, i] + 2 * c[i, j] + c[j, j], 0.0)))
        total = float(found.offset[i] + found.offset[j])
        name = names[b][int(levels[b].subject[other])]
        partner = Partner(b, name, float(c[i, j] / safe[i] / safe[j]), total, sum_sd)
        made[a, level] = (*made.get((a, level), ()), partner)
    return made
