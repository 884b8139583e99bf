"""The primary measure: by how much readings charted after sign-off lie higher, °C, at fixed spreads within stays.

theta is the coefficient of `trained`. The spreads that its interval hangs on are integrated over, not put in:

    p(theta | y) = sum_k weight_k N(theta_k, variance_k)

with nodes over (sd_ward-month, rho) by Gauss and Hermite about the mode and over sd_ward-response on a rising grid,
each weighted by its REML likelihood times prior. The other spreads stay at the mode and their effects are taken out
once, which leaves sums as small as wards by months, so that a node costs little.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.schur_complement import schur_complement
from browline.variation.effects.solved import solved
from browline.variation.stays.cross_products import Sums
from browline.variation.training.spreads import (
    Convergence,
    Mode,
    correlation,
    mode,
    penalty,
    running,
    runs_root,
)
from browline.variation.training.terms import Term, places

NODES = 4
GRID_FROM_C, GRID_TO, GRID = 0.002, 4.0, 12
RESPONSE = "ward-response"


@dataclass(frozen=True)
class Level:
    """The change of level with sign-off, °C, positive = readings after sign-off lie higher.

    - `effect_c`, `sd_c`, `low_c`, `high_c`: posterior mean, sd and 95 % interval.
    - `ward_month_sd_c`, `rho`, `ward_response_sd_c`: posterior means of the spreads integrated over.
    - `mode`: of all spreads; its outcome says whether the search settled.
    """

    effect_c: float
    sd_c: float
    low_c: float
    high_c: float
    ward_month_sd_c: float
    rho: float
    ward_response_sd_c: float
    mode: Mode

    @property
    def usable(self) -> bool:
        """Whether the search for the spreads settled."""
        return self.mode.outcome is Convergence.CONVERGED


@dataclass(frozen=True)
class Nodes:
    """Spreads float64[m] with the log of their posterior and what theta is there: `mean`, `variance`."""

    log: Floats
    mean: Floats
    variance: Floats
    month_sd: Floats
    rho: Floats
    response_sd: Floats


def level(sums: Sums, terms: Sequence[Term], column: int, start_c: Sequence[float] | None = None) -> Level:
    """The level effect of fixed column `column` (-1: the last) with its interval.

    `terms` as in the sums' order, one of them running by ward and month and one named ward-response.
    Raises numpy.linalg.LinAlgError where the column is made up of others, as when nobody was left to compare with.
    """
    fitted = mode(sums, terms, start_c)
    nodes = _nodes(sums, fitted, column % (sums.cc.shape[0] - 1))
    weight = np.exp(nodes.log - nodes.log.max())
    weight /= weight.sum()
    mean = float(weight @ nodes.mean)
    variance = float(weight @ (nodes.variance + (nodes.mean - mean) ** 2))
    interval = Mixture(weight, nodes.mean[:, None], np.sqrt(nodes.variance)[:, None]).interval()
    low, high = (float(end[0]) for end in interval)
    month_sd, rho, response_sd = (float(weight @ a) for a in (nodes.month_sd, nodes.rho, nodes.response_sd))
    return Level(
        effect_c=mean,
        sd_c=variance**0.5,
        low_c=low,
        high_c=high,
        ward_month_sd_c=month_sd,
        rho=rho,
        ward_response_sd_c=response_sd,
        mode=fitted,
    )


def _nodes(sums: Sums, fitted: Mode, column: int) -> Nodes:
    """Every node's posterior and theta, the running term and the wards' responses integrated over."""
    months, response = running(fitted.terms), [t.name for t in fitted.terms].index(RESPONSE)
    assert months is not None
    kept_sums, terms = _months_and_responses(sums, fitted, months, response)
    first, grid_points = np.array([fitted.t[months], fitted.t[-1]]), _grid(terms[1])
    spread = np.linalg.cholesky(2 * np.linalg.inv(fitted.information[np.ix_([months, -1], [months, -1])]))
    points, logs = _hermite(spread)
    rows = []
    for point, log in zip(first + points, logs, strict=True):
        rho = correlation(point[1])
        reparametrised = kept_sums.reparametrised(places(terms)[0], runs_root(terms[0], rho))
        month_sd = np.full(len(kept_sums.zz), np.exp(point[0]))
        small = schur_complement(reparametrised, np.arange(len(kept_sums.zz)) < terms[0].levels, month_sd)
        for grid in grid_points:
            solution = solved(small, np.full(terms[1].levels, np.exp(grid)))
            prior = penalty(terms, np.array([point[0], grid, point[1]]))
            j = terms[1].levels + column
            density = log - (solution.criterion + prior) / 2
            rows.append(
                (
                    density,
                    solution.beta[column],
                    solution.covariance[j, j],
                    np.exp(point[0]),
                    rho,
                    np.exp(grid),
                )
            )
    return Nodes(*np.array(rows).T)


def _months_and_responses(
    sums: Sums, fitted: Mode, months: int, response: int
) -> tuple[Sums, tuple[Term, Term]]:
    """The sums with the running term and the wards' responses alone, in that order, the rest at the mode."""
    parts = places(fitted.terms)
    q = len(sums.zz)
    order = np.r_[np.arange(q)[parts[months]], np.arange(q)[parts[response]]]
    gone = np.ones(q, bool)
    gone[order] = False
    reduced = schur_complement(sums, gone, fitted.solution.sd)
    if months > response:
        k = fitted.terms[response].levels
        turn = np.r_[k : len(order), :k]
        reduced = Sums(
            n=reduced.n,
            zz=reduced.zz[np.ix_(turn, turn)],
            zc=reduced.zc[turn],
            cc=reduced.cc,
            logdet=reduced.logdet,
        )
    return reduced, (fitted.terms[months], fitted.terms[response])


def _grid(term: Term) -> Floats:
    """Logs of sds, evenly from nearly nothing to far beyond the prior."""
    return np.linspace(np.log(GRID_FROM_C), np.log(GRID_TO * term.scale_c), GRID)


def _hermite(spread: Floats) -> tuple[Floats, Floats]:
    """Points float64[m, 2] of N(0, L L') and log weights over density, L = `spread`."""
    x, w = np.polynomial.hermite_e.hermegauss(NODES)
    z = np.array([(a, b) for a in x for b in x])
    weight = np.array([a * b for a in w for b in w])
    return z @ spread.T, np.log(weight) + (z**2).sum(1) / 2
