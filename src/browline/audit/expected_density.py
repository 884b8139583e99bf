"""The honest expectation: a smooth density seen through a recording grid, fitted to many histograms at once.

A penalised composite link model (Eilers 2007, Statistical Modelling 7:239-254; written from memory of the
idea): counts are Poisson around a smooth log density times the recording grid's weights. The penalty leaves a normal
curve untouched, so few readings give a normal curve and many give whatever shape they have. Bins under
question are left out of the fit, so that the expectation never leans on what is being judged.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

PENALTIES = 10.0 ** np.arange(-1.0, 4.6, 0.8)
STEPS, LEAST_GAIN = 25, 1e-7
BATCH = 256
LARGEST_STEP = 3.0
MIXING_SD = 0.5
MOST_MIXED = 0.995
FROZEN = 1e12


@dataclass(frozen=True)
class Shape:
    """The basis of a smooth log density over K bins: `basis` float64[K, P], `penalty` float64[P, P]."""

    basis: Floats
    penalty: Floats

    @classmethod
    def over(cls, x: Floats, spacing: float) -> "Shape":
        """Cubic B-splines on even knots `spacing` apart over `x` (float64[K], even), third differences."""
        start, count = x[0] - 1e-9, int(np.ceil((x[-1] - x[0]) / spacing)) + 3
        u = (x[:, None] - start) / spacing - np.arange(-3, count - 3)[None, :]
        basis = _cubic(u)
        third = np.diff(np.eye(count), 3, axis=0)
        return cls(basis, third.T @ third)


def _cubic(u: Floats) -> Floats:
    """The cubic B-spline on knots 0, 1, 2, 3, 4."""
    out = np.zeros_like(u)
    for k, c in enumerate((1.0, -4.0, 6.0, -4.0, 1.0)):
        out += c * np.maximum(u - k, 0.0) ** 3
    return np.where((u > 0) & (u < 4), out / 6.0, 0.0)


@dataclass(frozen=True)
class Histograms:
    """G histograms over the same K bins.

    - `counts`: float64[G, K]. `shape`: the basis over the bins.
    - `direct`, `converted`: float64[G or 1, K], the recording grid's weights without and with conversion; the share of
      converted values is estimated where they differ. `excluded`: bool[G, K], bins that do not take part.
    """

    counts: Floats
    shape: Shape
    direct: Floats
    converted: Floats
    excluded: Flags

    def without(self, excluded: Flags) -> "Histograms":
        """The same histograms with other bins left out."""
        return Histograms(
            counts=self.counts,
            shape=self.shape,
            direct=self.direct,
            converted=self.converted,
            excluded=excluded,
        )

    def only(self, which: NDArray[np.intp]) -> "Histograms":
        """Some of the histograms."""
        direct, converted = (w if len(w) == 1 else w[which] for w in (self.direct, self.converted))
        return Histograms(
            counts=self.counts[which],
            shape=self.shape,
            direct=direct,
            converted=converted,
            excluded=self.excluded[which],
        )


@dataclass(frozen=True)
class Smooth:
    """What honest reading would give.

    - `expected`: float64[G, K], expected counts, left-out bins included. `mixed`: float64[G], the share of
      values that came through conversion. `covariance`: float64[G, P + 1, P + 1], of the coefficients and that share.
    - `score`: float64[G], log marginal likelihood up to a constant.
    """

    problem: Histograms
    expected: Floats
    mixed: Floats
    covariance: Floats
    score: Floats

    @cached_property
    def log_variance(self) -> Floats:
        """float64[G, K], variance of the log of `expected`.

        ``b'C b + 2 s b'c + s^2 v`` with b the basis, s the slope of the share converted, c and v its covariances.
        """
        basis, slope = self.problem.shape.basis, _slope(self.problem, self.mixed[:, None])
        coefficients, with_share = self.covariance[:, :-1, :-1], self.covariance[:, :-1, -1]
        curve: Floats = (np.matmul(basis, coefficients) * basis).sum(axis=2)
        return curve + 2 * slope * (with_share @ basis.T) + slope**2 * self.covariance[:, -1:, -1]

    def influence(self, group: int, weights: Floats) -> Floats:
        """float64[K], how the weighted sum of expectations ``weights @ expected[group]`` moves with each count.

        ``sum_k w_k mu_k x_k' C x_j``, zero for bins left out of the fit.
        """
        x, mu = self._design(group), self.expected[group]
        out: Floats = x @ self.covariance[group] @ (x.T @ (weights * mu))
        return np.where(self.problem.excluded[group], 0.0, out)

    def fit_variance(self, group: int, weights: Floats) -> float:
        """Variance of ``weights @ expected[group]`` from the fit alone."""
        lean = self._design(group).T @ (weights * self.expected[group])
        return float(lean @ self.covariance[group] @ lean)

    def _design(self, group: int) -> Floats:
        single = self.problem.only(np.array([group]))
        out: Floats = _design(single, self.mixed[group : group + 1, None])[0]
        return out


def fit(problem: Histograms) -> Smooth:
    """Fit every histogram with the smoothness that its own data ask for.

    The penalty of each histogram is the one of `PENALTIES` with the highest marginal likelihood (Laplace). A few
    hundred histograms are fitted at a time, so that the work stays near the processor whatever their number.
    """
    rows = np.arange(len(problem.counts))
    pieces = [
        _fit_batch(problem.only(rows[first : first + BATCH])) for first in range(0, max(len(rows), 1), BATCH)
    ]
    arrays = ("expected", "mixed", "covariance", "score")
    return Smooth(problem, *(np.concatenate([getattr(p, name) for p in pieces]) for name in arrays))


def _fit_batch(problem: Histograms) -> Smooth:
    stiffest, *softer = PENALTIES[::-1]
    best, theta = fit_with_penalty(problem, stiffest, start(problem))
    for penalty in softer:
        tried, theta = fit_with_penalty(problem, penalty, theta)
        best = _better(best, tried)
    return best


def start(problem: Histograms) -> Floats:
    """Coefficients of the normal curve with each histogram's own mean and spread, half converted."""
    used = np.where(problem.excluded, 0.0, problem.counts)
    bins = np.arange(used.shape[1], dtype=np.float64)
    n = np.maximum(used.sum(axis=1), 1.0)
    mean = used @ bins / n
    sd = np.maximum(np.sqrt(np.maximum((used * (bins - mean[:, None]) ** 2).sum(axis=1) / n, 0)), 1.0)
    log_curve = np.log(n / (sd * np.sqrt(2 * np.pi)))[:, None]
    log_curve = log_curve - 0.5 * ((bins - mean[:, None]) / sd[:, None]) ** 2
    coefficients = np.linalg.lstsq(problem.shape.basis, np.maximum(log_curve, -60.0).T, rcond=None)[0].T
    mixed = np.where(_mixable(problem), 0.5, 0.0)
    return np.concatenate([coefficients, mixed[:, None]], axis=1)


def _mixable(problem: Histograms) -> Flags:
    return np.broadcast_to((problem.direct != problem.converted).any(axis=1), problem.counts.shape[:1])


def fit_with_penalty(problem: Histograms, penalty: float, first: Floats) -> tuple[Smooth, Floats]:
    """Newton's steps at one `penalty` from `first` (float64[G, P + 1]), until every histogram has settled.

    Returns the fit and its coefficients; the last of each is the share converted.
    """
    theta, mixable = first.copy(), _mixable(problem)
    roughness = _roughness(problem.shape, penalty, mixable)
    centre = np.zeros_like(theta)
    centre[:, -1] = np.where(mixable, 0.5, 0.0)
    busy = np.arange(len(theta))
    for _ in range(STEPS):
        step, gain = _newton_step(problem.only(busy), theta[busy], roughness[busy], centre[busy])
        theta[busy] += step
        theta[busy, -1] = np.clip(theta[busy, -1], 0.0, MOST_MIXED)
        busy = busy[gain > LEAST_GAIN]
        if not len(busy):
            break
    return _converged(problem, theta, roughness, centre, penalty), theta


def _newton_step(
    problem: Histograms, theta: Floats, roughness: Floats, centre: Floats
) -> tuple[Floats, Floats]:
    """(Newton's step, what it promises to gain) for each histogram; a share at its end stays where it is."""
    design, mu = _design_and_expected(problem, theta)
    weight = np.where(problem.excluded, 0.0, mu)
    hessian = np.matmul((design * weight[:, :, None]).transpose(0, 2, 1), design) + roughness
    residual = np.where(problem.excluded, 0.0, problem.counts - mu)
    gradient = np.einsum("gkp,gk->gp", design, residual)
    gradient -= np.einsum("gpq,gq->gp", roughness, theta - centre)
    mixed, outward = theta[:, -1], gradient[:, -1]
    bounded = ((mixed <= 0.0) & (outward < 0)) | ((mixed >= MOST_MIXED) & (outward > 0))
    gradient[bounded, -1] = 0.0
    hessian[bounded, -1, -1] += FROZEN
    step = np.linalg.solve(hessian, gradient[:, :, None])[:, :, 0]
    largest = np.abs(np.einsum("kp,gp->gk", problem.shape.basis, step[:, :-1])).max(axis=1)
    step *= np.minimum(1.0, LARGEST_STEP / np.maximum(largest, 1e-12))[:, None]
    return step, np.abs(gradient * step).sum(axis=1)


def _roughness(shape: Shape, penalty: float, mixable: Flags) -> Floats:
    """The penalty matrix of every histogram, the share converted with a wide prior around a half."""
    p = len(shape.penalty)
    out = np.zeros((len(mixable), p + 1, p + 1))
    out[:, :p, :p] = penalty * shape.penalty + 1e-8 * np.eye(p)
    out[:, p, p] = np.where(mixable, MIXING_SD**-2, FROZEN)
    return out


def _design_and_expected(problem: Histograms, theta: Floats) -> tuple[Floats, Floats]:
    """(design, expected counts): the smooth density through the recording grid, mixed as `theta` says."""
    mixed = theta[:, -1:]
    density = np.exp(np.clip(theta[:, :-1] @ problem.shape.basis.T, -60.0, 30.0))
    return _design(problem, mixed), density * _weight(problem, mixed)


def _weight(problem: Histograms, mixed: Floats) -> Floats:
    """float64[G, K], the recording grid's weights, `mixed` (float64[G, 1]) of them with conversion."""
    return problem.direct + mixed * (problem.converted - problem.direct)


def _slope(problem: Histograms, mixed: Floats) -> Floats:
    """float64[G, K], how the log of the weights moves with the share converted."""
    slope: Floats = (problem.converted - problem.direct) / np.maximum(_weight(problem, mixed), 1e-9)
    return slope


def _design(problem: Histograms, mixed: Floats) -> Floats:
    """float64[G, K, P + 1], how the log of the counts moves with each coefficient, the share last."""
    slope, basis = _slope(problem, mixed), problem.shape.basis
    every = np.broadcast_to(basis, (len(slope), *basis.shape))
    return np.concatenate([every, slope[:, :, None]], axis=2)


def _converged(
    problem: Histograms, theta: Floats, roughness: Floats, centre: Floats, penalty: float
) -> Smooth:
    design, mu = _design_and_expected(problem, theta)
    weight = np.where(problem.excluded, 0.0, mu)
    hessian = np.matmul((design * weight[:, :, None]).transpose(0, 2, 1), design) + roughness
    covariance = np.linalg.inv(hessian)
    used = np.where(problem.excluded, 0.0, problem.counts)
    loglik = (used * np.log(np.maximum(mu, 1e-30)) - weight).sum(axis=1)
    away = theta - centre
    prior = 0.5 * np.einsum("gp,gpq,gq->g", away, roughness, away, optimize=True)
    free = len(problem.shape.penalty) - 3
    score = loglik - prior + 0.5 * free * np.log(penalty) + 0.5 * np.log(roughness[:, -1, -1])
    score -= 0.5 * np.linalg.slogdet(hessian)[1]
    return Smooth(problem=problem, expected=mu, mixed=theta[:, -1], covariance=covariance, score=score)


def _better(a: Smooth, b: Smooth) -> Smooth:
    """Histogram by histogram, the fit with the higher marginal likelihood."""
    pick = b.score > a.score
    return Smooth(
        problem=a.problem,
        expected=np.where(pick[:, None], b.expected, a.expected),
        mixed=np.where(pick, b.mixed, a.mixed),
        covariance=np.where(pick[:, None, None], b.covariance, a.covariance),
        score=np.where(pick, b.score, a.score),
    )
