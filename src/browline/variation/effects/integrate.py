"""Effects with the doubt about their own sds integrated in, not plugged in.

At fixed spreads of the stays the sums do not change with the effects' sds, so the posterior of the sds is
worked out on small matrices, with no pass over the readings:

    p(effects | y) = sum over nodes w_i p(effects | y, sds_i)

With few instruments or wards the best sds are badly known and intervals that plug them in are too short. A part of
more than MANY levels is held at its REML sd: that is then known to about 1 / sqrt(2 MANY) = 7 %, which moves
no interval by more than a few in a hundred, and a lattice over it would cost a large factor at every node.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.lattice import LogDensity, Nodes, nodes
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.schur_complement import schur_complement
from browline.variation.effects.solved import Solved, criterion, solved
from browline.variation.stays.cross_products import Sums

MANY = 100
# Scales of the half-normal priors, °C (a day for "drift"). Laboratory limits are ±0.2 to ±0.3 °C for a clinical
# thermometer and faults looked for lie between 0.3 and 1 °C, so sds far over 0.3 °C are not expected in any
# part; a lens that sinks faster than 0.3 °C a month would be noticed. Our choice, argued in docs/derivations.
SCALE_C: Mapping[str, float] = {"instrument": 0.3, "person": 0.3, "ward": 0.3, "month": 0.15, "drift": 0.01}
SCALE_OTHERWISE_C = 0.3
LEAST = 0.01
RARE = 1e-3

Parts = Mapping[str, slice]


@dataclass(frozen=True)
class Integrated:
    """The posterior of the effects as a mixture over the sds of their parts.

    - `sums`, `parts` (name -> slice of effects), as given. `weight` float64[N], summing to 1.
    - `sds` float64[N, parts]: the sds at each node, in the order of `parts`; `varied`: the parts integrated over.
    """

    sums: Sums
    parts: Parts
    weight: Floats
    sds: Floats
    varied: tuple[str, ...]

    def prior(self, node: int) -> Floats:
        """The prior sd of every effect at a node, float64[q]."""
        return by_effect(self.parts, dict(zip(self.parts, self.sds[node], strict=True)), len(self.sums.zz))

    def solution(self, node: int) -> Solved:
        """The equations solved at a node."""
        return solved(self.sums, self.prior(node))

    def contrasts(self, take: Floats) -> Mixture:
        """The contrasts ``take [u; beta]``, `take` float64[m, q + p], as mixtures over the nodes."""

        def moments(solution: Solved) -> tuple[Floats, Floats]:
            mean: Floats = take @ np.concatenate([solution.u, solution.beta])
            return mean, ((take @ solution.covariance) * take).sum(1)

        return self.read(moments)

    def read(self, moments: Callable[[Solved], tuple[Floats, Floats]]) -> Mixture:
        """Means and variances read off at every node; one dense solution is held at a time."""
        read = [moments(self.solution(node)) for node in range(len(self.weight))]
        variance = np.array([variance for _, variance in read], np.float64)
        return Mixture(self.weight, np.array([mean for mean, _ in read]), np.sqrt(np.maximum(variance, 0.0)))

    def sd(self, name: str) -> tuple[float, float]:
        """Posterior mean and sd of the sd of a part, °C."""
        column = self.sds[:, list(self.parts).index(name)]
        mean = float(self.weight @ column)
        spread = float(self.weight @ (column - mean) ** 2)
        return mean, float(np.sqrt(spread))


def integrated(
    sums: Sums,
    parts: Parts,
    sds: Mapping[str, float],
    scales: Mapping[str, float] = SCALE_C,
    many: int = MANY,
) -> Integrated:
    """Integrate over the sds of the parts.

    `sds`: each part's REML sd, °C (0 where it stands on the boundary). `scales`: of the half-normal priors. Parts of
    more than `many` levels are held at their REML sd.
    """
    varied = tuple(name for name, part in parts.items() if 0 < part.stop - part.start <= many)
    nodes = sd_nodes(sums, parts, sds, varied, scales)
    node_sds = np.array([[sds[name] for name in parts]] * len(nodes.weight))
    for column, name in enumerate(varied):
        node_sds[:, list(parts).index(name)] = np.exp(nodes.points[:, column])
    return Integrated(sums=sums, parts=parts, weight=nodes.weight, sds=node_sds, varied=varied)


def sd_nodes(
    sums: Sums, parts: Parts, sds: Mapping[str, float], varied: tuple[str, ...], scales: Mapping[str, float]
) -> Nodes:
    """Nodes in log sd over the parts `varied`, the other parts integrated out at their own sds."""
    small, places = set_aside(sums, parts, sds, tuple(name for name in parts if name not in varied))
    sd_index = np.zeros(len(small.zz), np.int64)
    for k, name in enumerate(varied):
        sd_index[places[name]] = k
    scale = np.array([scales.get(name, SCALE_OTHERWISE_C) for name in varied])
    start = np.log(np.maximum([sds[name] for name in varied], 0.2 * scale))
    return _common(nodes(log_density(small, sd_index, scale), start, np.log(LEAST * scale)))


def set_aside(
    sums: Sums, parts: Parts, sds: Mapping[str, float], names: tuple[str, ...]
) -> tuple[Sums, dict[str, slice]]:
    """The sums with the parts `names` integrated out at their sds, and where the other parts then lie.

    Effects in no part are held at 0.
    """
    stay = np.zeros(len(sums.zz), bool)
    for name, part in parts.items():
        stay[part] = name not in names
    before = np.concatenate([[0], np.cumsum(stay)])
    places = {n: slice(int(before[s.start]), int(before[s.stop])) for n, s in parts.items() if n not in names}
    return schur_complement(sums, ~stay, by_effect(parts, sds, len(stay))), places


def log_density(sums: Sums, sd_index: "np.typing.NDArray[np.int64]", scale: Floats) -> LogDensity:
    """The log posterior of t = log sd; `of` int64[q]: which sd each effect has."""

    def density(t: Floats) -> float:
        sd = np.exp(t)
        return -criterion(sums, sd[sd_index]) / 2 + float((t - (sd / scale) ** 2 / 2).sum())

    return density


def by_effect(parts: Parts, sds: Mapping[str, float], q: int) -> Floats:
    """The prior sd of every effect, float64[q].

    >>> by_effect({"ward": slice(0, 2)}, {"ward": 0.1}, 3).tolist()
    [0.1, 0.1, 0.0]
    """
    prior = np.zeros(q)
    for name, part in parts.items():
        prior[part] = sds[name]
    return prior


def _common(nodes: Nodes) -> Nodes:
    """The nodes without those that together hold less than RARE."""
    order = np.argsort(-nodes.weight)
    keep = order[: int(np.searchsorted(np.cumsum(nodes.weight[order]), 1 - RARE)) + 1]
    return Nodes(nodes.points[keep], nodes.weight[keep] / nodes.weight[keep].sum())
