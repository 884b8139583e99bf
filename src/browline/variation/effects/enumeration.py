"""Every way of sharing few instruments out among near and far, one by one: exact, for small fleets.

    p(a | y) = sum over j in {near, far}^k of weight_j N(a; m_j, C_j)
    C_j = (P + diag 1 / sd_j^2)^-1,  m_j = C_j h
    log weight_j = sum log share_j - sum log sd_j + log|C_j| / 2 + h'm_j / 2

A fleet of three where one differs has several answers (this one is off, or the other two are), which one normal in
expectation propagation cannot hold; 2^k of them can.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import logsumexp

from browline.variation.arrays import Floats
from browline.variation.effects.contrasts import Comparison
from browline.variation.effects.expectation_propagation import Flags, Normals, Priors

FEW = 5


@dataclass(frozen=True)
class Enumerated:
    """B problems, each a mixture of W normals in k effects.

    - `log_evidence` float64[B]; `weight` float64[B, W] summing to 1 over W.
    - `means` float64[B, W, k]; `covariances` float64[B, W, k, k].
    """

    log_evidence: Floats
    weight: Floats
    means: Floats
    covariances: Floats
    converged: bool = True

    def take(self, keep: Flags) -> "Enumerated":
        """Some of the problems."""
        return Enumerated(
            self.log_evidence[keep], self.weight[keep], self.means[keep], self.covariances[keep]
        )

    @property
    def mean(self) -> Floats:
        """Posterior mean of every effect, float64[B, k]."""
        return np.asarray((self.weight[:, :, None] * self.means).sum(1))

    @property
    def variance(self) -> Floats:
        """Posterior variance of every effect, float64[B, k]."""
        second = np.diagonal(self.covariances, axis1=2, axis2=3) + (self.means - self.mean[:, None]) ** 2
        return np.asarray((self.weight[:, :, None] * second).sum(1))

    def normals(self, against: Comparison) -> Normals:
        """The normals that each contrast is a mixture of."""
        k = self.means.shape[2]
        take = against.contrasts(np.eye(k))
        mean = self.means @ take.T
        variance = np.einsum("li,bwij,lj->bwl", take, self.covariances, take)
        return Normals(np.repeat(self.weight[:, :, None], k, 2), mean, np.sqrt(np.maximum(variance, 0.0)))


def enumerated(precision: Floats, score: Floats, priors: Priors) -> Enumerated:
    """Solve B problems of `precision` float64[B, k, k] 1/°C^2 and `score` float64[B, k] 1/°C exactly."""
    k = score.shape[1]
    ways = np.stack(np.meshgrid(*[np.arange(priors.sd.shape[1])] * k, indexing="ij"), -1).reshape(-1, k)
    sd, share = priors.sd[:, ways], priors.share[:, ways]
    full = np.repeat(precision[:, None], len(ways), 1)
    on = np.arange(k)
    full[:, :, on, on] += 1 / sd**2
    covariance = np.asarray(np.linalg.inv(full), np.float64)
    mean: Floats = np.einsum("bwij,bj->bwi", covariance, score)
    log_c = -np.linalg.slogdet(full)[1]
    log_weight = (np.log(share) - np.log(sd)).sum(2) + 0.5 * log_c + 0.5 * (mean @ score[:, :, None])[:, :, 0]
    evidence = logsumexp(log_weight, axis=1)
    return Enumerated(
        np.asarray(evidence), np.exp(log_weight - evidence[:, None]), mean, np.asarray(covariance)
    )
