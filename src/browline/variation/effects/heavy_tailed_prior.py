"""Instruments with a heavy-tailed prior: most near zero, some far, so that the faults looked for are not shrunk away.

    a_i ~ (1 - share) N(0, near^2) + share N(0, near^2 + far^2)

All else (people, wards, fixed columns) is integrated out at nodes of its own sds, which leaves a quadratic in a; the
sds and the share of the prior are integrated over on a grid, each node weighed by its evidence. Fleets of up to FEW
are solved exactly (enumeration.py), larger ones by expectation propagation.

Beside it stands the interval with every instrument *fixed* (prior sd FREE_C): it takes nothing from the others
but the comparator, so it covers alike whatever the instrument's true offset is. That is the 95 % interval to
show; the heavy-tailed posterior says how likely the offset is beyond tolerance. See studies/
test_instrument_intervals.py for both coverages.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.contrasts import Comparison, against, middle
from browline.variation.effects.enumeration import FEW, Enumerated, enumerated
from browline.variation.effects.expectation_propagation import Flags, Normals, Priors, Propagated, propagated
from browline.variation.effects.integrate import (
    MANY,
    SCALE_C,
    SCALE_OTHERWISE_C,
    Parts,
    sd_nodes,
    set_aside,
)
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.schur_complement import Quadratic, quadratic
from browline.variation.levels import Levels
from browline.variation.stays.cross_products import Sums

FREE_C = 10.0
# Near: sound instruments lie within laboratory limits of ±0.2 to ±0.3 °C, so an sd over 0.3 °C is not expected.
# Far: dirty lenses and other modes make 0.3 to 1 °C. Share: one in ten, give or take. Our choice.
NEAR_SCALE_C = 0.2
NEAR_C = tuple(float(x) for x in 0.01 * 1.7 ** np.arange(8))
FAR_C = (0.3, 0.6)
FAR_SHARE = (0.02, 0.08, 0.2)
FINE = 7
RARE, SPAN, LITTLE = 1e-3, 1e-3, 1e-3

Found = Enumerated | Propagated


@dataclass(frozen=True)
class HeavyTailed:
    """The instruments against what they are compared with, one entry a level (segments included).

    - `posterior`: heavy-tailed. `fixed`: each instrument fixed, the interval to show. `comparison`: against what.
    - `share` float64[levels]: data share, 1 - posterior variance / prior variance of the same contrast.
    - `near_c`, `far_share`: posterior means of the near sd (°C) and of the share that are far.
    - `converged`: whether every node's moments agree.
    """

    posterior: Mixture
    fixed: Mixture
    comparison: Comparison
    share: Floats
    near_c: float
    far_share: float
    converged: bool


@dataclass(frozen=True)
class Grid:
    """H nodes of the prior: `near`, `far` °C and `share`, float64[H] each, with the log prior weight of each."""

    near: Floats
    far: Floats
    share: Floats
    log_weight: Floats

    def priors(self) -> Priors:
        """The mixture prior at every node."""
        shares = np.column_stack([1 - self.share, self.share])
        return Priors(shares, np.column_stack([self.near, np.hypot(self.near, self.far)]))

    def take(self, keep: Flags) -> "Grid":
        """Some of the nodes."""
        return Grid(self.near[keep], self.far[keep], self.share[keep], self.log_weight[keep])


def heavy_tailed_posterior(
    sums: Sums,
    parts: Parts,
    sds: Mapping[str, float],
    kind: Levels,
    name: str = "instrument",
    scales: Mapping[str, float] = SCALE_C,
) -> HeavyTailed:
    """The effects of the part `name` with a heavy-tailed prior and, beside it, fixed.

    `sds`: each part's REML sd, °C. `kind`: the levels of the part. The sds of the other parts are integrated over
    where they have few levels.
    """
    likelihoods, log_others = marginal_likelihoods(sums, parts, sds, name, scales)
    grid = fine_grid(likelihoods[0])
    first = solve_on(grid, likelihoods[0])
    height = first.log_evidence + grid.log_weight
    keep = height >= height.max() + np.log(RARE)
    grid = grid.take(keep)
    likely = first.take(keep)
    posteriors = [likely, *(solve_on(grid, likelihood, likely) for likelihood in likelihoods[1:])]
    log_weight = np.array([f.log_evidence + grid.log_weight for f in posteriors]) + log_others[:, None]
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    flat = weight.ravel()
    mean = np.concatenate([f.mean for f in posteriors])
    centre = flat @ mean
    variance = flat @ (np.concatenate([f.variance for f in posteriors]) + (mean - centre) ** 2)
    comparison = against(kind, middle(kind, centre, variance))
    posterior = _mixed([f.normals(comparison) for f in posteriors], weight)
    on_grid = weight.sum(0)
    prior = comparison.variance(np.full(len(centre), float(on_grid @ _prior_variance(grid))))
    return HeavyTailed(
        posterior=posterior,
        fixed=_fixed(likelihoods, weight.sum(1), comparison),
        comparison=comparison,
        share=np.clip(1 - posterior.variance / prior, 0.0, 1.0),
        near_c=float(on_grid @ grid.near),
        far_share=float(on_grid @ grid.share),
        converged=all(f.converged for f in posteriors),
    )


def marginal_likelihoods(
    sums: Sums, parts: Parts, sds: Mapping[str, float], name: str, scales: Mapping[str, float]
) -> tuple[list[Quadratic], Floats]:
    """The likelihood of the part `name` alone at each node of the others' sds, likeliest node first.

    Returns also the log of each node's prior density and cell, float64[O]; the likelihoods carry the rest.
    """
    wide = {n: s.stop - s.start for n, s in parts.items()}
    large = tuple(n for n in parts if n != name and not 0 < wide[n] <= MANY)
    few = tuple(n for n in parts if n != name and n not in large)
    small, places = set_aside(sums, parts, sds, large)
    nodes = sd_nodes(small, places, {**sds, name: max(sds[name], NEAR_SCALE_C / 2)}, few, scales)
    likelihoods = []
    for t in nodes.points:
        node_sds = {**sds, **dict(zip(few, np.exp(t).tolist(), strict=True))}
        likelihoods.append(quadratic(set_aside(small, places, node_sds, few)[0]))
    scale = np.array([scales.get(n, SCALE_OTHERWISE_C) for n in few])
    log_prior = (nodes.points - (np.exp(nodes.points) / scale) ** 2 / 2).sum(1)
    return likelihoods, log_prior - np.array([q.base for q in likelihoods]) / 2


def fine_grid(likelihood: Quadratic) -> Grid:
    """The grid of the prior, fine in `near` where a coarse look at the evidence says it lies."""
    coarse = grid_over(np.array(NEAR_C), FAR_C[-1:], FAR_SHARE[1:2])
    height = solve_on(coarse, likelihood).log_evidence + coarse.log_weight
    likely = np.log(coarse.near[height >= height.max() + np.log(SPAN)])
    half = np.log(NEAR_C[1] / NEAR_C[0]) / 2
    return grid_over(np.exp(np.linspace(likely.min() - half, likely.max() + half, FINE)), FAR_C, FAR_SHARE)


def grid_over(near: Floats, far: tuple[float, ...], share: tuple[float, ...]) -> Grid:
    """Every combination; `near` evenly spaced in its logarithm, half-normal by its prior, the others alike likely."""
    near, wide, often = (g.ravel() for g in np.meshgrid(near, far, share, indexing="ij"))
    return Grid(near, wide, often, np.log(near) - (near / NEAR_SCALE_C) ** 2 / 2)


def solve_on(grid: Grid, likelihood: Quadratic, near: Found | None = None) -> Found:
    """The posterior at every node of the grid: by enumeration in fleets of up to FEW, else by propagation."""
    count = len(grid.near)
    precision, score = (
        np.repeat(likelihood.precision[None], count, 0),
        np.repeat(likelihood.score[None], count, 0),
    )
    if len(likelihood.score) <= FEW:
        return enumerated(precision, score, grid.priors())
    return propagated(precision, score, grid.priors(), near if isinstance(near, Propagated) else None)


def _prior_variance(grid: Grid) -> Floats:
    return np.asarray(grid.near**2 + grid.share * grid.far**2)


def _mixed(normals: list[Normals], weight: Floats) -> Mixture:
    """One mixture a contrast from the normals at every node; those that together hold next to nothing left out."""
    k = normals[0].mean.shape[2]
    full = np.concatenate(
        [(w[:, None, None] * f.weight).reshape(-1, k) for f, w in zip(normals, weight, strict=True)]
    )
    mean = np.concatenate([f.mean.reshape(-1, k) for f in normals])
    sd = np.concatenate([f.sd.reshape(-1, k) for f in normals])
    keep = full.max(1) > LITTLE / len(full)
    heavy = full[keep]
    return Mixture(heavy / heavy.sum(0), mean[keep], sd[keep])


def _fixed(likelihoods: list[Quadratic], weight: Floats, comparison: Comparison) -> Mixture:
    """The contrasts with a prior sd of FREE_C, over the nodes of the others' sds."""
    means, variances = [], []
    for likelihood in likelihoods:
        full = likelihood.precision + np.eye(len(likelihood.score)) / FREE_C**2
        covariance = np.asarray(np.linalg.inv(full), np.float64)
        means.append(comparison.contrasts(covariance @ likelihood.score))
        variances.append(np.diagonal(comparison.within(covariance)))
    return Mixture(weight, np.array(means), np.sqrt(np.maximum(variances, 0.0)))
