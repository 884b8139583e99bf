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
class JointPosterior:
    """The joint posterior of the contrasts of several kinds.

    - `mean`, `variance`, `share`: kind -> float64[levels]. `across`: (kind, other) -> covariance, °C^2.
    """

    mean: Mapping[str, Floats]
    variance: Mapping[str, Floats]
    share: Mapping[str, Floats]
    across: Mapping[tuple[str, str], Floats]


def joint_posterior(over: Integrated, against: Mapping[str, Comparison]) -> JointPosterior:
    """The means, variances and covariances of the contrasts of the kinds of `against`, over the nodes of `over`."""
    order = np.argsort(-over.weight)
    used = order[: min(int(np.searchsorted(np.cumsum(over.weight[order]), COVERED)) + 1, MOST)]
    weight = over.weight[used] / over.weight[used].sum()
    names = list(against)
    mean = {n: np.zeros(len(against[n].latest_level)) for n in names}
    second: Blocks = {}
    for w, node in zip(weight, used.tolist(), strict=True):
        solution = over.solution(node)
        contrasts = {n: against[n].contrasts(solution.u[over.parts[n]]) for n in names}
        for n in names:
            mean[n] = mean[n] + w * contrasts[n]
        for a, b in _pairs(names):
            block = against[a].contrasts(solution.covariance[over.parts[a], over.parts[b]])
            both = against[b].contrasts(block.T).T
            part = (
                np.diag(both) + contrasts[a] ** 2 if a == b else both + np.outer(contrasts[a], contrasts[b])
            )
            second[a, b] = second.get((a, b), 0.0) + w * part
    variance = {n: np.maximum(second[n, n] - mean[n] ** 2, 0.0) for n in names}
    across = {(a, b): second[a, b] - np.outer(mean[a], mean[b]) for a, b in _pairs(names) if a != b}
    return JointPosterior(mean, variance, _shares(over, against, variance, used, weight), across)


def _shares(
    over: Integrated,
    against: Mapping[str, Comparison],
    variance: Mapping[str, Floats],
    used: "np.typing.NDArray[np.int64]",
    weight: Floats,
) -> dict[str, Floats]:
    """The data share of every contrast; 0 where the prior leaves no room."""
    shares = {}
    for name, comparison in against.items():
        sds = over.sds[used, list(over.parts).index(name)]
        prior = comparison.variance(np.full(len(comparison.latest_level), float(weight @ sds**2)))
        ratio = np.divide(variance[name], prior, out=np.ones(len(prior)), where=prior > 0)
        shares[name] = np.clip(1.0 - ratio, 0.0, 1.0)
    return shares


def _pairs(names: list[str]) -> list[tuple[str, str]]:
    return [(a, b) for i, a in enumerate(names) for b in names[i:]]
