"""Every kind of subject read off at once: one solution a node, all kinds from it, never all solutions together."""

from collections.abc import Mapping

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.clusters import Clusters
from browline.variation.effects.compared import Compared
from browline.variation.effects.contrasts import Comparison, against, middle
from browline.variation.effects.heavy_tailed_prior import Tails, tails
from browline.variation.effects.integrate import Integrated
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.solved import Solved
from browline.variation.levels import Levels
from browline.variation.stays.cross_products import Sums

PIN_C = 0.3


def read(over: Integrated, at: Solved, kinds: Mapping[str, Levels], doubted: Clusters) -> dict[str, Compared]:
    """The contrasts of every kind of `kinds` that is a part of the model; comparators chosen at `at`."""
    parts = {name: over.parts[name] for name in kinds if name in over.parts}
    variance = np.diag(at.covariance)
    chosen = {n: against(kinds[n], middle(kinds[n], at.u[part], variance[part])) for n, part in parts.items()}
    means: dict[str, list[Floats]] = {name: [] for name in parts}
    spreads: dict[str, list[Floats]] = {name: [] for name in parts}
    for node in range(len(over.weight)):
        found = over.at(node)
        for name, part in parts.items():
            means[name].append(chosen[name].of(found.u[part]))
            spreads[name].append(np.diag(chosen[name].within(found.covariance[part, part])))
    made = {}
    for name, part in parts.items():
        sd = np.sqrt(np.maximum(spreads[name], 0.0))
        found_ = Mixture(over.weight, np.array(means[name]), sd)
        share = _share(over, name, chosen[name], found_)
        made[name] = Compared(
            against=chosen[name],
            found=found_,
            share=share,
            widening=_widening(doubted, part, chosen[name]),
            shown=found_,
        )
    return made


def with_tails(
    compared: dict[str, Compared], over: Integrated, sds: Mapping[str, float], kind: Levels, doubted: Clusters
) -> dict[str, Compared]:
    """The same with instruments under a heavy-tailed prior, their intervals with each instrument fixed.

    An instrument with none to compare it with keeps its plain posterior: fixed, nothing would be known of it.
    """
    part = over.parts["instrument"]
    found = tails(pinned(over.sums, part, kind), over.parts, sds, kind)
    widening = _widening(doubted, part, found.comparison)
    shown = found.fixed if found.comparison.compared.all() else _either(found)
    own = Compared(
        against=found.comparison, found=found.posterior, share=found.share, widening=widening, shown=shown
    )
    return {**compared, "instrument": own}


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


def _either(found: Tails) -> Mixture:
    """The fixed posterior where there is something to compare with, the plain one elsewhere, as one normal each."""
    fixed, alone, there = found.fixed, found.posterior, found.comparison.compared
    mean = np.where(there, fixed.centre, alone.centre)[None, :]
    sd = np.sqrt(np.where(there, fixed.variance, alone.variance))[None, :]
    return Mixture(np.ones(1), mean, sd)


def _share(over: Integrated, name: str, chosen: Comparison, found: Mixture) -> Floats:
    """The data share of every contrast: its prior variance is that of independent levels, averaged over nodes."""
    column = list(over.parts).index(name)
    variance = float(over.weight @ over.sds[:, column] ** 2)
    prior = chosen.variance(np.full(len(chosen.own), variance))
    return np.clip(1.0 - found.variance / np.maximum(prior, 1e-300), 0.0, 1.0)


def _widening(doubted: Clusters, part: slice, chosen: Comparison) -> Floats:
    """The widening of each contrast, worked out without the matrix of them."""
    reach = chosen.of(doubted.covariance[part])
    return doubted.widened(reach, np.diag(chosen.of(reach[:, part].T)))
