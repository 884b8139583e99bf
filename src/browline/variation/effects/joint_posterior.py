"""How the contrasts of two kinds hang together once the sds of the effects are integrated over.

    covariance = sum w_i (C_i + m_i m_i') - m m',   data share = 1 - diag(covariance) / prior variance

At the best sds alone a kind whose best sd is 0 would seem to be known exactly and confounded with nothing; over
the nodes it is as doubtful as it is. Nodes beyond COVERED of the weight are left out: each costs a solution.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.contrasts import Comparison
from browline.variation.effects.integrate import Integrated

COVERED, MOST = 0.95, 30

Blocks = dict[tuple[str, str], Floats]


@dataclass(frozen=True)
class Together:
    """The joint posterior of the contrasts of several kinds.

    - `mean`, `variance`, `share`: kind -> float64[levels]. `across`: (kind, other) -> covariance, °C^2.
    """

    mean: Mapping[str, Floats]
    variance: Mapping[str, Floats]
    share: Mapping[str, Floats]
    across: Mapping[tuple[str, str], Floats]


def together(over: Integrated, against: Mapping[str, Comparison]) -> Together:
    """The means, variances and covariances of the contrasts of the kinds of `against`, over the nodes of `over`."""
    order = np.argsort(-over.weight)
    used = order[: min(int(np.searchsorted(np.cumsum(over.weight[order]), COVERED)) + 1, MOST)]
    weight = over.weight[used] / over.weight[used].sum()
    names = list(against)
    mean = {n: np.zeros(len(against[n].own)) for n in names}
    second: Blocks = {}
    for w, node in zip(weight, used.tolist(), strict=True):
        found = over.at(node)
        own = {n: against[n].of(found.u[over.parts[n]]) for n in names}
        for n in names:
            mean[n] = mean[n] + w * own[n]
        for a, b in _pairs(names):
            block = against[a].of(found.covariance[over.parts[a], over.parts[b]])
            both = against[b].of(block.T).T
            part = np.diag(both) + own[a] ** 2 if a == b else both + np.outer(own[a], own[b])
            second[a, b] = second.get((a, b), 0.0) + w * part
    variance = {n: np.maximum(second[n, n] - mean[n] ** 2, 0.0) for n in names}
    across = {(a, b): second[a, b] - np.outer(mean[a], mean[b]) for a, b in _pairs(names) if a != b}
    return Together(mean, variance, _shares(over, against, variance, used, weight), across)


def _shares(
    over: Integrated,
    against: Mapping[str, Comparison],
    variance: Mapping[str, Floats],
    used: "np.typing.NDArray[np.int64]",
    weight: Floats,
) -> dict[str, Floats]:
    """The data share of every contrast; 0 where the prior leaves no room."""
    made = {}
    for name, comparison in against.items():
        sds = over.sds[used, list(over.parts).index(name)]
        prior = comparison.variance(np.full(len(comparison.own), float(weight @ sds**2)))
        left = np.divide(variance[name], prior, out=np.ones(len(prior)), where=prior > 0)
        made[name] = np.clip(1.0 - left, 0.0, 1.0)
    return made


def _pairs(names: list[str]) -> list[tuple[str, str]]:
    return [(a, b) for i, a in enumerate(names) for b in names[i:]]
