"""Each instrument, person and ward against the others of its kind, and what it cannot be told from.

Raw effects share the unknown mean of their kind, so every effect is read as a contrast: its own latest
segment less the plain mean of the others' latest segments. With C the posterior covariance centred within
each kind, K levels and f = K / (K - 1),

    offset = f (u - mean u),  variance = f^2 C_ll,  data share = 1 - variance / (f tau^2 sigma^2)

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


@dataclass(frozen=True)
class Contrasts:
    """The contrasts of all levels of all kinds: float64[q] `offset`, `share`; float64[q, q] `covariance` °C^2."""

    offset: Floats
    covariance: Floats
    share: Floats

    def sd(self) -> Floats:
        """Posterior sd of each contrast, °C."""
        return np.sqrt(np.maximum(np.diag(self.covariance), 0.0))


def contrasts(design: Design, fit: Fit, levels: Mapping[str, Levels]) -> Contrasts:
    """Every level less the mean of the other subjects' latest levels."""
    q, prior = design.width, np.zeros(design.width)
    covariance = fit.at.covariance[:q, :q] * fit.sigma**2
    offset = fit.at.u.copy()
    for name, part in design.slices().items():
        kind = levels[name]
        offset[part] = against_others(kind, offset[part])
        covariance[part] = against_others(kind, covariance[part])
        covariance[:, part] = against_others(kind, covariance[:, part].T).T
        others = max(int(kind.latest.sum()) - 1, 0)
        prior[part] = fit.sd(name) ** 2 * (1.0 + (1.0 / others if others else 0.0))
    left = np.diag(covariance) / np.where(prior > 0, prior, 1.0)
    return Contrasts(offset, covariance, np.where(prior > 0, np.clip(1.0 - left, 0.0, 1.0), 0.0))


def against_others(kind: Levels, x: Floats) -> Floats:
    """Each level's row less the mean of the other subjects' latest rows; `x` float64[levels, ...].

    >>> from browline.variation.levels import levels
    >>> against_others(levels(np.array([0, 1, 2])), np.array([3.0, 0.0, 1.0])).tolist()
    [2.5, -2.0, -0.5]
    """
    others = int(kind.latest.sum()) - 1
    if others < 1:
        return x
    latest = np.flatnonzero(kind.latest)
    of_subject = latest[np.argsort(kind.subject[latest])]
    own = of_subject[np.searchsorted(kind.subject[of_subject], kind.subject)]
    return np.asarray(x - (x[latest].sum(0) - x[own]) / others)


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
