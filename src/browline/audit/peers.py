"""Against wards of its kind: fevers that are missing, values too close together, sites that change too often.

Case mix makes wards differ, so a ward is compared with its kind of care only, and the usual differences between
wards are part of the limits.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from browline.audit.clusters import variance_between
from browline.audit.discovery import FEWEST
from browline.audit.excess import POWER_Z
from browline.audit.histograms import crossed
from browline.audit.overtime.between import additive, centre_and_overdispersion
from browline.audit.pairs import patient_pairs
from browline.audit.problem import Problem
from browline.quantities.shares import Z95

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

FEWEST_PEERS = 6
READ_OFTEN = (2, 4, 8, 16, 32, 64)
"""Patients are compared with patients read about as often: a fever has more chances to show in a long stay."""
RETAKE_HOURS = 0.5


@dataclass(frozen=True)
class PeerComparison:
    """One ward among its kind.

    - `ward`: number. `n`: readings, pairs or patients. `value`: its own figure; `usual`: that of its kind;
      `error`: standard error of the difference, the usual spread between wards included. All on one scale.
      `wards`: how many were compared.
    """

    ward: int
    n: int
    value: float
    usual: float
    error: float
    wards: int

    @property
    def z(self) -> float:
        """Distance from the usual in standard errors."""
        return (self.value - self.usual) / self.error

    def p(self, sign: float) -> float:
        """Chance of so far in the direction `sign` (1 above, -1 below) for a ward like the others.

        Student's t with one degree less than wards: few wards tell little about how much wards differ.
        """
        from scipy.special import stdtr

        return float(stdtr(self.wards - 1, -sign * self.z))

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval of the difference."""
        return self.value - self.usual - Z95 * self.error, self.value - self.usual + Z95 * self.error

    def least(self, z: float) -> float:
        """The smallest difference seen 8 times in 10 by a test at normal quantile `z`."""
        return (z + POWER_Z) * self.error


def fevers(problem: Problem) -> tuple[PeerComparison, ...]:
    """Share of patients with a reading at or over the fever line, standardised to how often they are read."""
    return _by_kind(problem, lambda which: _febrile(problem, which))


def log_sds(problem: Problem) -> tuple[PeerComparison, ...]:
    """Log of the standard deviation of a ward's readings at its most used site."""
    return _by_kind(problem, lambda which: _log_sds(problem, which))


def switches(problem: Problem) -> tuple[PeerComparison, ...]:
    """Share of successive readings of a stay, over half an hour apart, taken at another known site.

    A probe in place is read beside other sites without any change, so its readings are not asked."""
    pairs = patient_pairs(problem)
    site = problem.readings.codes["site"]
    known = ~problem.site_missing & ~problem.in_place
    pairs = pairs.take(known[pairs.earlier] & known[pairs.later] & (pairs.hours > RETAKE_HOURS))
    changed = (site[pairs.earlier] != site[pairs.later]).astype(np.float64)
    return _comparisons(changed, problem.ward[pairs.later], problem.cluster[pairs.later], len(problem.wards))


def _by_kind(
    problem: Problem, compare: Callable[[Flags], tuple[PeerComparison, ...]]
) -> tuple[PeerComparison, ...]:
    care = problem.care[problem.ward]
    return tuple(s for kind in np.unique(care) for s in compare(care == kind))


def _febrile(problem: Problem, which: Flags) -> tuple[PeerComparison, ...]:
    """Patients with a fever among the patients of each ward, as if every ward read its patients equally often."""
    cluster, ward = problem.cluster[which], problem.ward[which]
    patients = int(cluster.max(initial=-1)) + 1
    often = np.bincount(cluster, minlength=patients)
    fever = np.bincount(cluster, problem.readings.value[which] >= problem.fever_c - 1e-9, patients) > 0
    home = np.zeros(patients, np.int64)
    home[cluster] = ward
    present = np.flatnonzero(often)
    stratum = np.searchsorted(READ_OFTEN, often[present], side="right")
    usual = np.bincount(stratum, fever[present]) / np.maximum(np.bincount(stratum), 1)
    overall = max(float(fever[present].mean()), 1e-12) if len(present) else 0.0
    wards = len(problem.wards)
    expected = np.bincount(home[present], usual[stratum], wards)
    weight = np.bincount(home[present], minlength=wards) * overall / np.maximum(expected, 1e-12)
    return _comparisons(fever[present] * weight[home[present]], home[present], np.arange(len(present)), wards)


def _comparisons(event: Floats, ward: Ints, cluster: Ints, wards: int) -> tuple[PeerComparison, ...]:
    """Wards by the share of an event, readings of one cluster taken together; none where peers are too few."""
    n = np.bincount(ward, minlength=wards)
    proportion = np.bincount(ward, event, wards) / np.maximum(n, 1)
    usable = np.flatnonzero(n >= FEWEST)
    pooled = float(event.mean()) if len(event) else 0.0
    if len(usable) < FEWEST_PEERS or not 0 < pooled < 1:
        return ()
    between = variance_between(event - proportion[ward], cluster, ward, wards)[usable]
    binomial_variance = n[usable] * pooled * (1 - pooled)
    inflation = np.maximum(1.0, between.sum() / binomial_variance.sum())
    effective = n[usable] / inflation
    proportions = np.minimum(proportion[usable], 1.0)
    if not proportions.max() > 0 or proportions.min() >= 1:
        return ()
    centre, overdispersion = centre_and_overdispersion(proportions, effective, additive)
    error = overdispersion.sd(centre, effective)
    return tuple(
        PeerComparison(
            ward=int(w),
            n=int(n[w]),
            value=float(proportion[w]),
            usual=centre,
            error=float(e),
            wards=len(usable),
        )
        for w, e in zip(usable, error, strict=True)
    )


def _log_sds(problem: Problem, which: Flags) -> tuple[PeerComparison, ...]:
    """Log sd of each ward at its main site against the median of its kind."""
    site = problem.readings.codes["site"].astype(np.int64)
    positions = np.flatnonzero(which & _at_most_used_site(problem, site))
    ward, value, wards = problem.ward[positions], problem.readings.value[positions], len(problem.wards)
    n = np.bincount(ward, minlength=wards)
    usable = np.flatnonzero(n >= FEWEST)
    if len(usable) < FEWEST_PEERS:
        return ()
    away = value - (np.bincount(ward, value, wards) / np.maximum(n, 1))[ward]
    square = np.bincount(ward, away**2, wards) / np.maximum(n, 1)
    if not (square[usable] > 0).all():
        usable = usable[square[usable] > 0]
    influence = 0.5 * (away**2 / np.maximum(square[ward], 1e-12) - 1)
    sampling_variance = (
        variance_between(influence, problem.cluster[positions], ward, wards)[usable] / n[usable] ** 2
    )
    # A ward without fevers has a small spread and seems sure of it; all wards lend each other their own.
    sampling_variance = float((sampling_variance * n[usable]).mean()) / n[usable]
    log_sd = 0.5 * np.log(square[usable])
    middle = float(np.median(log_sd))
    between = max(
        0.0, (1.4826 * float(np.median(np.abs(log_sd - middle)))) ** 2 - float(np.median(sampling_variance))
    )
    return tuple(
        PeerComparison(
            ward=int(w), n=int(n[w]), value=float(y), usual=middle, error=sqrt(v + between), wards=len(usable)
        )
        for w, y, v in zip(usable, log_sd, sampling_variance, strict=True)
    )


def _at_most_used_site(problem: Problem, site: Ints) -> Flags:
    sites = len(problem.readings.names["site"]) + 1
    main = crossed(problem.ward, site + 1, len(problem.wards), sites).argmax(axis=1) - 1
    out: Flags = site == main[problem.ward]
    return out


def narrower(comparison: PeerComparison) -> tuple[float, float, float]:
    """(share by which a ward's values lie closer together than usual, its 95 % interval)."""
    low, high = comparison.interval
    return 1 - exp(comparison.value - comparison.usual), 1 - exp(high), 1 - exp(low)
