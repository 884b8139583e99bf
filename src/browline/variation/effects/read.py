"""Every kind of subject read off at once: one solution a node, all kinds from it, never all solutions together."""

from collections.abc import Mapping

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.clusters import Clusters
from browline.variation.effects.compared import Compared
from browline.variation.effects.contrasts import Comparison, against, middle
from browline.variation.effects.heavy_tailed_prior import HeavyTailed, heavy_tailed_posterior
from browline.variation.effects.integrate import Integrated
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.solved import Solved
from browline.variation.levels import Levels
from browline.variation.stays.cross_products import Sums

PIN_C = 0.3


def read(
    over: Integrated, solution: Solved, kinds: Mapping[str, Levels], scores: Clusters
) -> dict[str, Compared]:
    """The contrasts of every kind of `kinds` that is a part of the model; comparators chosen at `at`."""
    parts = {name: over.parts[name] for name in kinds if name in over.parts}
    variance = np.diag(solution.covariance)
    chosen = {
        n: against(kinds[n], middle(kinds[n], solution.u[part], variance[part])) for n, part in parts.items()
    }
    means: dict[str, list[Floats]] = {name: [] for name in parts}
    variances: dict[str, list[Floats]] = {name: [] for name in parts}
    for node in range(len(over.weight)):
        solved_node = over.solution(node)
        for name, part in parts.items():
            means[name].append(chosen[name].contrasts(solved_node.u[part]))
            variances[name].append(np.diag(chosen[name].within(solved_node.covariance[part, part])))
    compared = {}
    for name, part in parts.items():
        sd = np.sqrt(np.maximum(variances[name], 0.0))
        posterior = Mixture(over.weight, np.array(means[name]), sd)
        share = _share(over, name, chosen[name], posterior)
        compared[name] = Compared(
            against=chosen[name],
            posterior=posterior,
            share=share,
            widening=_widening(scores, part, chosen[name]),
            interval_posterior=posterior,
        )
    return compared


def with_heavy_tails(
    compared: dict[str, Compared], over: Integrated, sds: Mapping[str, float], kind: Levels, scores: Clusters
) -> dict[str, Compared]:
    """The same with instruments under a heavy-tailed prior, their intervals with each instrument fixed.

    An instrument with none to compare it with keeps its plain posterior: fixed, nothing would be known of it.
    """
    part = over.parts["instrument"]
    heavy = heavy_tailed_posterior(pinned(over.sums, part, kind), over.parts, sds, kind)
    widening = _widening(scores, part, heavy.comparison)
    interval_posterior = heavy.fixed if heavy.comparison.compared.all() else _either(heavy)
    instruments = Compared(
        against=heavy.comparison,
        posterior=heavy.posterior,
        share=heavy.share,
        widening=widening,
        interval_posterior=interval_posterior,
    )
    return {**compared, "instrument": instruments}


def pinned(sums: Sums, part: slice, kind: Levels) -> Sums:
    """The sums with the mean of each group of instruments held near 0, °C.

    What a site reads and what its instruments have in common cannot be told apart, so without this that direction
    is free; contrasts within a group do not change.
    """
    zz = sums.zz.copy()
    for group in np.unique(kind.group):
        mean = (kind.group == group) / (kind.group == group).sum()
        zz[part, part] += np.outer(mean, mean) / PIN_C**2
    return Sums(n=sums.n, zz=zz, zc=sums.zc, cc=sums.cc, logdet=sums.logdet)


def _either(heavy: HeavyTailed) -> Mixture:
    """The fixed posterior where there is something to compare with, the plain one elsewhere, as one normal each."""
    fixed, alone, there = heavy.fixed, heavy.posterior, heavy.comparison.compared
    mean = np.where(there, fixed.centre, alone.centre)[None, :]
    sd = np.sqrt(np.where(there, fixed.variance, alone.variance))[None, :]
    return Mixture(np.ones(1), mean, sd)


def _share(over: Integrated, name: str, chosen: Comparison, posterior: Mixture) -> Floats:
    """The data share of every contrast: its prior variance is that of independent levels, averaged over nodes."""
    column = list(over.parts).index(name)
    variance = float(over.weight @ over.sds[:, column] ** 2)
    prior = chosen.variance(np.full(len(chosen.latest_level), variance))
    return np.clip(1.0 - posterior.variance / np.maximum(prior, 1e-300), 0.0, 1.0)


def _widening(scores: Clusters, part: slice, chosen: Comparison) -> Floats:
    """The widening of each contrast, worked out without the matrix of them."""
    reach = chosen.contrasts(scores.covariance[part])
    return scores.widened(reach, np.diag(chosen.contrasts(reach[:, part].T)))
