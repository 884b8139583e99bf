"""Nodes and weights for the sds of the effects: a lattice around the posterior mode, in log sd.

    log p(t) = -criterion(e^t) / 2 + sum_k (t_k - e^2t_k / 2 scale_k^2),   t = log sd

which is the REML likelihood, half-normal priors and the change of variable. From the mode the lattice steps
STEP sds (by the curvature there) along the principal axes and goes on wherever log p is within DROP of its
greatest, so that skewed and bent posteriors are followed as far as they reach. All cells are alike in size, so
weights are the densities themselves (the trapezoidal rule, whose error for a normal at this step is 3e-4).

Source: Rue, Martino & Chopin 2009, J R Stat Soc B 71:319, section 6.5 (grid strategy; from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from browline.variation.arrays import Floats

STEP, DROP = 1.5, 6.5
SLOPE_STEP = 0.05
WIDEST, NARROWEST = 1.2, 0.03
MOST = 200

LogDensity = Callable[[Floats], float]


@dataclass(frozen=True)
class Nodes:
    """`points` float64[N, K]: the parameters at each node; `weight` float64[N], summing to 1."""

    points: Floats
    weight: Floats


def nodes(density: LogDensity, start: Floats, low: Floats) -> Nodes:
    """The nodes of exp(`density`) over t float64[K] above `low` (where below it nothing changes any more)."""
    if not len(start):
        return Nodes(np.zeros((1, 0)), np.ones(1))
    mode = top(density, start, low)
    axes = STEP * _axes(density, mode)
    height = {(0,) * len(mode): density(mode)}
    edge = list(height)
    while edge and len(height) < MOST:
        best = max(height.values())
        fresh = {spot for near in edge if height[near] >= best - DROP for spot in _around(near)} - set(height)
        edge = sorted(s for s in fresh if (mode + axes @ np.array(s) >= low).all())
        height |= {spot: density(mode + axes @ np.array(spot)) for spot in edge}
    best = max(height.values())
    dense = {spot: h for spot, h in height.items() if h >= best - DROP}
    weight = np.exp(np.array(list(dense.values())) - best)
    return Nodes(mode + np.array(list(dense)) @ axes.T, weight / weight.sum())


def top(density: LogDensity, start: Floats, low: Floats) -> Floats:
    """Where `density` is greatest."""
    bounds = [(float(lo), None) for lo in low]

    def depth(t: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
        return -density(t)

    minimum = minimize(depth, np.maximum(start, low), method="L-BFGS-B", bounds=bounds)
    return np.asarray(minimum.x)


def _axes(density: LogDensity, mode: Floats) -> Floats:
    """Columns: principal axes, each one sd long by the curvature at the mode, kept within sense."""
    k, h = len(mode), SLOPE_STEP
    steps = np.eye(k) * h
    centre, hessian = density(mode), np.empty((k, k))
    single = [(density(mode + a), density(mode - a)) for a in steps]
    for i in range(k):
        hessian[i, i] = -(single[i][0] - 2 * centre + single[i][1]) / h**2
        for j in range(i):
            both = density(mode + steps[i] + steps[j]) - single[i][0] - single[j][0] + centre
            back = density(mode - steps[i] - steps[j]) - single[i][1] - single[j][1] + centre
            hessian[i, j] = hessian[j, i] = -(both + back) / 2 / h**2
    values, vectors = np.linalg.eigh(hessian)
    sd = 1 / np.sqrt(np.maximum(values, 1e-12))
    return np.asarray(vectors * np.clip(sd, NARROWEST, WIDEST))


def _around(spot: tuple[int, ...]) -> list[tuple[int, ...]]:
    return [(*spot[:k], spot[k] + d, *spot[k + 1 :]) for k in range(len(spot)) for d in (-1, 1)]
