"""Expectation propagation: a Gaussian likelihood in k effects, each with its own mixture-of-normals prior.

    p(a) ~ exp(-a'P a / 2 + h'a) prod_i sum_j share_j N(a_i; 0, sd_j^2)

Every prior factor is stood in for by exp(-tau_i a_i^2 / 2 + nu_i a_i); with C = (P + diag tau)^-1, m = C (h + nu)
the cavity of i has precision 1 / C_ii - tau_i and score m_i / C_ii - nu_i, and tau, nu are moved until the
normal's mean and variance agree with those of cavity times true prior, all i at once, damped, each problem until
it is done. What is kept of each effect is cavity times true prior: a mixture of normals again, with two humps where
two are likely. Everything is written in precisions, so a likelihood that says nothing (one
instrument alone) is no special case.

Source: Minka 2001, UAI 17:362-369; Rasmussen & Williams 2006, section 3.6 (evidence); both from memory.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Floats
from browline.variation.effects.contrasts import Comparison

Flags = NDArray[np.bool_]
DAMPED, LEAST_STEP, ROUNDS = 0.9, 0.1, 60
CLOSE, SETTLED = 1e-3, 2e-2
# A problem this close is not solved on while others of its batch are; some never settle and take every round.
DONE = 1e-7


@dataclass(frozen=True)
class Priors:
    """B mixture priors of J normals about 0: `share` float64[B, J] summing to 1 over J, `sd` float64[B, J] °C."""

    share: Floats
    sd: Floats

    def take(self, keep: "Flags | NDArray[np.intp]") -> "Priors":
        """Some of the priors."""
        return Priors(self.share[keep], self.sd[keep])


@dataclass(frozen=True)
class Normals:
    """What k contrasts are mixtures of in each of B problems: `weight`, `mean`, `sd` float64[B, J, k]."""

    weight: Floats
    mean: Floats
    sd: Floats


@dataclass(frozen=True)
class Propagated:
    """What was found for each of B problems.

    - `log_evidence` float64[B]: log of the integral of p(a). `mean` float64[B, k], `covariance` float64[B, k, k].
    - `cavity` float64[B, k] precision and `score` float64[B, k] of all that is known of an effect but its prior.
    - `converged`: whether the moments of every problem agree to SETTLED of the sd.
    """

    priors: Priors
    log_evidence: Floats
    mean: Floats
    covariance: Floats
    cavity: Floats
    score: Floats
    converged: bool

    def take(self, keep: Flags) -> "Propagated":
        """Some of the problems."""
        return Propagated(
            priors=self.priors.take(keep),
            log_evidence=self.log_evidence[keep],
            mean=self.mean[keep],
            covariance=self.covariance[keep],
            cavity=self.cavity[keep],
            score=self.score[keep],
            converged=self.converged,
        )

    def stand_ins(self) -> tuple[Floats, Floats]:
        """tau and nu, float64[B, k] each."""
        spread = np.diagonal(self.covariance, axis1=1, axis2=2)
        return 1 / spread - self.cavity, self.mean / spread - self.score

    @property
    def variance(self) -> Floats:
        """Posterior variance of every effect, by cavity times true prior, float64[B, k]."""
        return tilted(self.cavity, self.score, self.priors)[2]

    def normals(self, against: Comparison) -> Normals:
        """The normals that each contrast is a mixture of: own effect by its humps, the others given it.

        c | a_l ~ N(L m + g (a_l - m_l), L C L' - g^2 C_ll),   g = cov(c, a_l) / C_ll
        """
        log_part, mean, variance = humps(self.cavity, self.score, self.priors)
        part = np.exp(log_part - log_part.max(2, keepdims=True))
        part /= part.sum(2, keepdims=True)
        both = [against.contrasts(c) for c in self.covariance]
        wide = np.array([np.diagonal(against.contrasts(b.T)) for b in both])
        spread = np.diagonal(self.covariance, axis1=1, axis2=2)
        slope = np.array([np.diagonal(b) for b in both]) / spread
        centre = np.array([against.contrasts(m) for m in self.mean]) - slope * self.mean
        residual_variance = np.maximum(wide - slope**2 * spread, 0.0)
        means = centre[:, :, None] + slope[:, :, None] * mean
        sds = np.sqrt(residual_variance[:, :, None] + slope[:, :, None] ** 2 * variance)
        return Normals(part.swapaxes(1, 2), means.swapaxes(1, 2), sds.swapaxes(1, 2))


def propagated(
    precision: Floats, score: Floats, priors: Priors, near: Propagated | None = None
) -> Propagated:
    """Solve B problems of `precision` float64[B, k, k] 1/°C^2, `score` float64[B, k] 1/°C side by side.

    `near`: what was found for B problems much like these, to begin with.
    """
    widest = (1 / priors.sd.max(1) ** 2)[:, None]
    tau, nu = near.stand_ins() if near is not None else _as_normal(priors, score.shape[1])
    step, off = np.full((len(score), 1), DAMPED), np.full(len(score), np.inf)
    covariance, going = np.empty_like(precision), np.arange(len(score))
    mean, cavity, cavity_score, log_part = (np.empty_like(score) for _ in range(4))
    for _ in range(ROUNDS):
        covariance[going], mean[going] = _normal(precision[going], score[going], tau[going], nu[going])
        spread = np.diagonal(covariance[going], axis1=1, axis2=2)
        cavity[going] = np.maximum(1 / spread - tau[going], 0.0)
        cavity_score[going] = mean[going] / spread - nu[going]
        log_part[going], wanted, wide = tilted(cavity[going], cavity_score[going], priors.take(going))
        # A stand-in no wider than the widest normal of the prior keeps the whole a proper normal.
        aim = np.maximum(1 / wide - cavity[going], widest[going])
        to = wanted * (cavity[going] + aim) - cavity_score[going]
        before = off[going]
        off[going] = np.abs(wanted - mean[going]).max(1) / np.sqrt(wide.max(1))
        off[going] += _parameters(tau[going], aim, spread)
        if (off < CLOSE).all():
            break
        step[going] = _halve_where_further(step[going], further=off[going] > before)
        tau[going] += step[going] * (aim - tau[going])
        nu[going] += step[going] * (to - nu[going])
        going = going[off[going] >= DONE]
    evidence = _log_evidence(precision, covariance, mean, tau, log_part)
    return Propagated(
        priors=priors,
        log_evidence=evidence,
        mean=mean,
        covariance=covariance,
        cavity=cavity,
        score=cavity_score,
        converged=bool((off < SETTLED).all()),
    )


def _as_normal(priors: Priors, k: int) -> tuple[Floats, Floats]:
    """The stand-ins with the prior's own variance."""
    tau = np.repeat((1 / (priors.share * priors.sd**2).sum(1))[:, None], k, 1)
    return tau, np.zeros_like(tau)


def _halve_where_further(step: Floats, further: Flags) -> Floats:
    """Half the step where the moments came to agree less."""
    return np.where(further[:, None], np.maximum(step / 2, LEAST_STEP), step)


def _parameters(tau: Floats, aim: Floats, spread: Floats) -> Floats:
    """How far the stand-ins are from their aim, as a share of each effect's precision; the largest a problem."""
    return np.asarray((np.abs(aim - tau) * spread).max(1))


def _log_evidence(
    precision: Floats, covariance: Floats, mean: Floats, tau: Floats, log_part: Floats
) -> Floats:
    """``sum log J_i - sum log integral of q_i + log integral of q``, J_i the integral of cavity times prior."""
    spread = np.diagonal(covariance, axis1=1, axis2=2)
    site_evidence = log_part - 0.5 * np.log(2 * np.pi * spread) - 0.5 * mean**2 / spread
    _, log_c = np.linalg.slogdet(2 * np.pi * covariance)
    peak = np.einsum("bi,bij,bj->b", mean, precision, mean) + (tau * mean**2).sum(1)
    return np.asarray(site_evidence.sum(1) + 0.5 * log_c + 0.5 * peak)


def tilted(cavity: Floats, score: Floats, priors: Priors) -> tuple[Floats, Floats, Floats]:
    """Cavity times true prior: the log of its integral, its mean and its variance, float64[B, k] each."""
    log_part, mean, variance = humps(cavity, score, priors)
    top = log_part.max(2, keepdims=True)
    part = np.exp(log_part - top)
    total = part.sum(2, keepdims=True)
    part /= total
    centre = (part * mean).sum(2)
    wide = (part * (variance + (mean - centre[:, :, None]) ** 2)).sum(2)
    return (top + np.log(total))[:, :, 0], centre, wide


def humps(cavity: Floats, score: Floats, priors: Priors) -> tuple[Floats, Floats, Floats]:
    """The normals of cavity times true prior: log weight, mean and variance, float64[B, k, J] each."""
    narrow = 1 / priors.sd[:, None, :] ** 2
    precision = cavity[:, :, None] + narrow
    mean = score[:, :, None] / precision
    log_part = np.log(priors.share)[:, None, :] + 0.5 * (
        np.log(narrow / precision) + score[:, :, None] * mean
    )
    return log_part, mean, 1 / precision


def _normal(precision: Floats, score: Floats, tau: Floats, nu: Floats) -> tuple[Floats, Floats]:
    """Covariance and mean at those stand-ins."""
    full = precision.copy()
    diagonal = np.arange(tau.shape[1])
    full[:, diagonal, diagonal] += tau
    covariance: Floats = np.asarray(np.linalg.inv(full), np.float64)
    return covariance, np.einsum("bij,bj->bi", covariance, score + nu)
