"""Site against site from quick pairs: both orders put together, what moves the answer and what speaks against it."""

import numpy as np

from browline.quantities.shares import Z95
from browline.variation.arrays import Floats
from browline.variation.problem import Problem
from browline.variation.retakes.checks import Check, Sign, concluded, differ
from browline.variation.retakes.cluster_robust import by_precision, half_interval, weighted
from browline.variation.retakes.direction import Direction, direction
from browline.variation.retakes.estimate import AtNormal, PairEstimate, Sensitivity
from browline.variation.retakes.first_readings import Firsts, firsts
from browline.variation.retakes.sensitivity import SHARES, moved
from browline.variation.retakes.standardised import standardise
from browline.variation.retakes.uncharted import uncharted
from browline.variation.retakes.unseen import unseen


def pair_estimate(problem: Problem, site: int) -> PairEstimate | None:
    """Site against the reference from quick pairs in both orders, weighted by their precision; None for no pairs."""
    forward, backward = firsts(problem, 0, site), firsts(problem, site, 0)
    n = forward.pairs + backward.pairs
    if n == 0:
        return None
    both_orders = ((standardise(forward), 1), (standardise(backward), -1))
    orders = [direction(source, sign) for source, sign in both_orders if source is not None]
    naive, minutes = _naive(forward, backward), _minutes(forward, backward)
    checks = _checks(orders, {1: backward, -1: forward}, n)
    if not orders:
        return PairEstimate(
            n=n,
            offset_c=None,
            low_c=None,
            high_c=None,
            sentence="too few to tell",
            naive_c=naive,
            minutes=minutes,
            checks=checks,
        )
    pulls = [d.of_stays(d.pull) for d in orders]
    weights = by_precision(pulls)
    offset = float(weights @ [d.offset for d in orders])
    half = half_interval(weighted(pulls, weights))
    return PairEstimate(
        n=n,
        offset_c=offset,
        low_c=offset - half,
        high_c=offset + half,
        sentence=f"from {n} quick pairs within 30 minutes",
        level_c=float(weights @ [d.level for d in orders]),
        offset_at_37=_offset_at_37(orders),
        naive_c=naive,
        minutes=minutes,
        sensitivity=tuple(_parameters(orders, weights, share) for share in SHARES),
        checks=checks,
    )


def pair_checks(pairs: PairEstimate | None, model_offset_c: float) -> tuple[Check, ...]:
    """Every check of the pairs beside the model's offset at 37.0 °C; none where there are no pairs."""
    if pairs is None:
        return ()
    normal = pairs.offset_at_37
    estimate, high = (normal.offset_c, normal.high_c) if normal else (pairs.offset_c, pairs.high_c)
    sd = (high - estimate) / Z95 if estimate is not None and high is not None else 0.0
    return (differ(estimate, sd, model_offset_c, pairs.n), *pairs.checks)


def _checks(orders: list[Direction], alone: dict[int, Firsts], n: int) -> tuple[Check, ...]:
    """The checks that need no model; `alone`: sign of an order -> first readings at its retake site."""
    lone = [check for d in orders if (check := uncharted(d.source, alone[d.sign])) is not None]
    later = [check for d in orders if (check := unseen(d.source)) is not None]
    readings = sum(len(alone[d.sign].value) for d in orders)
    return (concluded(Sign.UNCHARTED, readings, lone), concluded(Sign.UNSEEN, n, later))


def _offset_at_37(orders: list[Direction]) -> AtNormal | None:
    """The offset at 37.0 °C from the orders that tell their slope; None where none does."""
    usable = [(d.of_stays(d.at_37.pull), d.at_37) for d in orders if d.at_37 is not None]
    if not usable:
        return None
    pulls = [pull for pull, _ in usable]
    weights = by_precision(pulls)
    offset = float(weights @ [order.offset for _, order in usable])
    half = half_interval(weighted(pulls, weights))
    slope = float(weights @ [order.slope for _, order in usable])
    return AtNormal(
        offset_c=offset,
        low_c=offset - half,
        high_c=offset + half,
        slope=slope,
        slope_sd=float(weights @ [order.slope_sd for _, order in usable]),
    )


def _parameters(orders: list[Direction], weights: Floats, share: float) -> Sensitivity:
    """The answer of both orders together under one share of first readings uncharted."""
    each = [moved(d, share) for d in orders]
    offset = float(weights @ [m.offset for m in each])
    pulls = [d.of_stays(m.pull) for d, m in zip(orders, each, strict=True)]
    half = half_interval(weighted(pulls, weights))
    return Sensitivity(share, offset, offset - half, offset + half)


def _naive(forward: Firsts, backward: Firsts) -> float:
    """Plain mean of site less reference over the pairs of both orders, °C."""
    return float(np.concatenate([forward.change[forward.retaken], -backward.change[backward.retaken]]).mean())


def _minutes(forward: Firsts, backward: Firsts) -> float:
    """Median time between the readings of a pair."""
    return float(np.nanmedian(np.concatenate([forward.gap, backward.gap])) * 60)
