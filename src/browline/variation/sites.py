"""Every site against the reference site at 37.0 °C: the model's offset and slope, the quick pairs' beside them.

Most sites have instruments of their own kind, so a site's constant and the mean of its instruments are hardly told
apart; what a ward sees is their sum. A site is therefore compared as it is read here,

    offset_s = alpha_s + sum_d share_{d|s} a_d - sum_d share_{d|ref} a_d

with the shares of its readings by instrument.
"""

from dataclasses import replace

import numpy as np

from browline.quantities.shares import Z95
from browline.variation.arrays import Floats
from browline.variation.likelihood import Likelihood
from browline.variation.problem import Problem
from browline.variation.result import SiteEffect
from browline.variation.retakes import Answer, Sign, pair_checks, pair_estimate
from browline.variation.tables import Fitted

SLOPE_STEP = 0.01

# Quick pairs of so many readings tell enough: more are taken from every second, third ... stay.
PAIRS_FROM = 200_000


def site_table(problem: Problem, fitted: Fitted) -> tuple[SiteEffect, ...]:
    """The reference site first, with offset 0, then every other site with model and pairs side by side."""
    reading = fitted.fit.course.reading
    counts = np.bincount(problem.site, minlength=len(problem.sites))
    rows = [
        SiteEffect(
            site=problem.sites[0],
            n=int(counts[0]),
            offset_c=0.0,
            low_c=0.0,
            high_c=0.0,
            sd_c=float(reading[0]),
            pairs=None,
        )
    ]
    offset, typical_, sd = as_read(problem, fitted)
    some = problem.every(1 + len(problem) // PAIRS_FROM)
    for k, name in enumerate(problem.sites[1:], start=1):
        if ("site", name) in fitted.fit.model.fixed.meaning:
            site = _site(some, k, int(counts[k]), float(offset[k]), float(sd[k]), float(reading[k]))
            rows.append(_sloped(fitted, k, replace(site, typical_c=float(typical_[k]))))
    return tuple(rows)


def as_read(problem: Problem, fitted: Fitted) -> tuple[Floats, Floats, Floats]:
    """Every site's offset, that of a typical reading, and its standard error, float64[S]; 0 for the reference."""
    take = contrasts(problem, fitted)
    solution, usual = fitted.fit.solution, fitted.robust
    known = (
        np.maximum(((take @ solution.covariance) * take).sum(1), 0.0) * fitted.clusters.widening(take) ** 2
    )
    sd = np.sqrt(known + by_slope(fitted, take))
    return (
        take @ np.concatenate([solution.u, solution.beta]),
        take @ np.concatenate([usual.u, usual.beta]),
        sd,
    )


def by_slope(fitted: Fitted, take: Floats) -> Floats:
    """What the doubt about the slopes adds to the variance of each contrast, float64[m]: ``J cov(slopes) J'``.

    J, how the contrasts move with each slope, is read off one pass at a slope a little higher.
    """
    fit = fitted.fit
    parameters, sites = fit.model.parameters, fit.model.identifiable.slopes
    place = parameters.slopes.start + sites
    likelihood = Likelihood(fit.model.columns, parameters, fit.model.random.roots(fit.rho))
    base = take @ np.concatenate([fit.solution.u, fit.solution.beta])
    moves = np.zeros((len(take), len(sites)))
    for k, index in enumerate(place):
        theta = fit.theta.copy()
        theta[index] += SLOPE_STEP
        tried = likelihood.evaluate(theta).solution
        moves[:, k] = (take @ np.concatenate([tried.u, tried.beta]) - base) / SLOPE_STEP
    return np.asarray(((moves @ fit.covariance[np.ix_(place, place)]) * moves).sum(1))


def contrasts(problem: Problem, fitted: Fitted) -> Floats:
    """Rows that take each site's constant and its instruments, less the reference's, float64[S, q + p]."""
    fit, sites = fitted.fit, len(problem.sites)
    take = np.zeros((sites, len(fit.solution.covariance)))
    for k, name in enumerate(problem.sites):
        if ("site", name) in fit.model.fixed.meaning:
            take[k, len(fit.solution.u) + fit.model.fixed.meaning.index(("site", name))] = 1.0
    part = fit.model.columns.slices().get("instrument")
    if part is not None:
        codes = fitted.kinds["instrument"].codes
        width = part.stop - part.start
        charted = codes >= 0
        counts = np.bincount(problem.site[charted] * width + codes[charted], minlength=sites * width)
        shares = (
            counts.reshape(sites, width) / np.maximum(np.bincount(problem.site, minlength=sites), 1)[:, None]
        )
        take[:, part] = shares - shares[0]
    return take


def _sloped(fitted: Fitted, k: int, site: SiteEffect) -> SiteEffect:
    """The site with its slope, where the readings can tell it."""
    if k not in fitted.fit.model.identifiable.slopes:
        return site
    slope, sd = float(fitted.fit.course.slope[k]), float(fitted.fit.slope_sd()[k])
    return replace(site, slope=slope, slope_low=slope - Z95 * sd, slope_high=slope + Z95 * sd)


def _site(problem: Problem, k: int, n: int, offset: float, sd: float, reading_sd: float) -> SiteEffect:
    """One site; where model and pairs differ by more than 0.05 °C it takes the wider interval."""
    low, high = offset - Z95 * sd, offset + Z95 * sd
    pairs = pair_estimate(problem, k)
    checks = pair_checks(pairs, offset)
    effect = SiteEffect(
        site=problem.sites[k],
        n=n,
        offset_c=offset,
        low_c=low,
        high_c=high,
        sd_c=reading_sd,
        pairs=pairs,
        checks=checks,
    )
    if not any(c.sign is Sign.DISAGREE and c.answer is Answer.SEEN for c in checks):
        return effect
    quick = pairs.offset_at_37 if pairs and pairs.offset_at_37 else pairs
    if quick is None or quick.low_c is None or quick.high_c is None or quick.offset_c is None:
        return effect
    if quick.high_c - quick.low_c > high - low:
        low, high = offset + quick.low_c - quick.offset_c, offset + quick.high_c - quick.offset_c
    return replace(effect, low_c=low, high_c=high, disagrees=True)
