"""Instruments with a heavy-tailed prior: against enumeration, quadrature, and fleets whose truth is known."""

from itertools import product

import numpy as np
import pytest
from effects_sums import SIGMA, crossed, of
from scipy import integrate as quadrature
from scipy.stats import norm

from browline.findings import expected_false_share
from browline.variation.effects.contrasts import against
from browline.variation.effects.enumeration import enumerated
from browline.variation.effects.expectation_propagation import Priors, propagated
from browline.variation.effects.heavy_tailed_prior import (
    FAR_C,
    FAR_SHARE,
    FREE_C,
    NEAR_SCALE_C,
    heavy_tailed_posterior,
)
from browline.variation.effects.integrate import SCALE_C
from browline.variation.effects.schur_complement import quadratic
from browline.variation.effects.solved import solved
from browline.variation.levels import levels

SDS = {"instrument": 0.1, "person": 0.06, "ward": 0.06}


def alone(offsets, n, seed):
    """The quadratic of a fleet without people or wards."""
    h = crossed(np.random.default_rng(seed), offsets, people=0, wards=0, n=n)
    q = quadratic(h.sums)
    return q.precision[None], q.score[None]


def priors(near, far, share):
    return Priors(np.array([[1 - share, share]]), np.array([[near, far]]))


def test_three_instruments_by_the_eight_ways():
    """Oracle: 2^3 normals written out one by one, each a plain Gaussian posterior."""
    precision, score = alone([0.0, -0.05, 0.4], 60, 1)
    shares, sds = np.array([0.9, 0.1]), np.array([0.08, 0.5])
    weight, mean = [], []
    for way in product((0, 1), repeat=3):
        prior = np.diag(sds[list(way)] ** 2)
        marginal = np.linalg.det(np.eye(3) + prior @ precision[0]) ** -0.5
        posterior = np.linalg.inv(np.linalg.inv(prior) + precision[0])
        weight.append(shares[list(way)].prod() * marginal * np.exp(score[0] @ posterior @ score[0] / 2))
        mean.append(posterior @ score[0])
    found = enumerated(precision, score, priors(0.08, 0.5, 0.1))
    assert found.log_evidence[0] == pytest.approx(np.log(sum(weight)), abs=1e-9)
    assert found.mean[0] == pytest.approx(np.array(weight) @ np.array(mean) / sum(weight), abs=1e-9)


def test_problems_solved_side_by_side_come_out_as_each_alone():
    """Those that are done early wait for the others and are not touched; the slowest decides how long it takes."""
    precision, score = alone([0.0, -0.05, 0.4, 0.1, -0.3, 0.02], 60, 1)
    several = [(0.02, 0.3, 0.02), (0.08, 0.5, 0.1), (0.3, 0.31, 0.5), (0.01, 1.0, 0.2)]
    many = Priors(
        np.array([[1 - share, share] for _, _, share in several]), np.array([[a, b] for a, b, _ in several])
    )
    batch = propagated(np.repeat(precision, 4, 0), np.repeat(score, 4, 0), many)
    for b, prior in enumerate(several):
        single = propagated(precision, score, priors(*prior))
        sd = np.sqrt(np.diagonal(single.covariance[0]))
        assert batch.mean[b] == pytest.approx(single.mean[0], abs=2e-3 * sd.min())
        assert batch.log_evidence[b] == pytest.approx(single.log_evidence[0], abs=2e-3)
        assert batch.cavity[b] == pytest.approx(single.cavity[0], rel=5e-3)


def test_one_instrument_against_quadrature():
    """Oracle: scipy.integrate.quad of likelihood times prior, one effect seen directly."""
    precision, score, prior = np.array([[[60.0]]]), np.array([[18.0]]), priors(0.1, 0.5, 0.1)

    def density(a):
        return np.exp(18 * a - 30 * a**2) * (0.9 * norm.pdf(a, 0, 0.1) + 0.1 * norm.pdf(a, 0, 0.5))

    def moment(k):
        return quadrature.quad(lambda a: a**k * density(a), -4, 4, limit=200)[0]

    whole, mean = moment(0), moment(1) / moment(0)
    for method in (enumerated, propagated):
        found = method(precision, score, prior)
        assert found.log_evidence[0] == pytest.approx(np.log(whole), abs=1e-6)
        assert found.variance[0, 0] == pytest.approx(moment(2) / whole - mean**2, rel=1e-6)
        normals = found.normals(against(levels(np.array([0])), np.ones(1)))
        assert (normals.weight * normals.mean).sum() == pytest.approx(mean, abs=1e-6)


@pytest.mark.parametrize("n", [100, 1000, 10000])
def test_propagation_against_enumeration(n):
    """Oracle: the 2^8 normals of eight instruments, three hyperparameters side by side."""
    precision, score = alone([0.0, 0.05, -0.1, 0.08, -0.04, 0.02, 0.6, -0.02], n, 2)
    prior = Priors(
        np.array([[0.9, 0.1], [0.98, 0.02], [0.8, 0.2]]), np.array([[0.08, 0.5], [0.15, 0.7], [0.05, 0.4]])
    )
    many = [np.repeat(x, 3, 0) for x in (precision, score)]
    ep, exact = propagated(*many, prior), enumerated(*many, prior)
    kind = against(levels(np.arange(8)), np.ones(8))
    assert ep.converged
    assert ep.log_evidence == pytest.approx(exact.log_evidence, abs=0.05)
    means = [(x.weight * x.mean).sum(1) for x in (ep.normals(kind), exact.normals(kind))]
    assert means[0] == pytest.approx(means[1], abs=0.01)


def test_propagation_takes_some_of_its_problems():
    precision, score = alone([0.0, 0.1, -0.1], 60, 3)
    two = Priors(np.array([[0.9, 0.1], [0.5, 0.5]]), np.array([[0.1, 0.5], [0.2, 0.4]]))
    for method in (enumerated, propagated):
        both = method(np.repeat(precision, 2, 0), np.repeat(score, 2, 0), two)
        second = both.take(np.array([False, True]))
        assert second.log_evidence.tolist() == both.log_evidence[1:].tolist()
        assert second.mean.tolist() == both.mean[1:].tolist()


def reviewed(offsets, n, seed, people=12, wards=3):
    h = crossed(np.random.default_rng(seed), offsets, people=people, wards=wards, n=n)
    return h, heavy_tailed_posterior(
        h.sums, h.parts, {k: SDS[k] for k in h.parts}, levels(np.arange(len(offsets)))
    )


def test_the_whole_against_every_way_at_every_node():
    """Oracle: the mixed-model equations at each of 2^3 ways x near x far x share x ward sd, on a brute-force grid."""
    h = crossed(np.random.default_rng(13), [0.0, -0.1, 0.35], people=0, wards=3, n=45)
    found = heavy_tailed_posterior(h.sums, h.parts, {"instrument": 0.1, "ward": 0.06}, levels(np.arange(3)))
    take, height, mean = found.comparison.contrasts(np.eye(3)), [], []
    for near, ward in product(np.geomspace(0.005, 0.8, 18), np.geomspace(0.003, 0.9, 14)):
        prior = np.log(near * ward) - (near / NEAR_SCALE_C) ** 2 / 2 - (ward / SCALE_C["ward"]) ** 2 / 2
        for far, way in product(FAR_C, product((0, 1), repeat=3)):
            own = np.where(way, np.hypot(near, far), near)
            at = solved(h.sums, np.append(own, np.full(3, ward)))
            shares = sum(np.prod(np.where(way, s, 1 - s)) for s in FAR_SHARE)
            height.append(prior - at.criterion / 2 + np.log(shares))
            mean.append(take @ at.u[:3])
    weight = np.exp(np.array(height) - max(height))
    assert found.posterior.centre == pytest.approx(weight @ np.array(mean) / weight.sum(), abs=0.006)


def test_a_fault_is_not_shrunk_away():
    """The fixed effect is its own oracle: the heavy-tailed mean lies on it, a Gaussian prior would not."""
    _, found = reviewed([0.0] * 11 + [-0.6], 600, 4)
    assert found.posterior.centre[-1] == pytest.approx(found.fixed.centre[-1], abs=0.02)
    assert found.posterior.beyond(0.3)[-1] > 0.99
    assert found.posterior.beyond(0.3)[:-1].max() < 0.05
    assert found.near_c < 0.08


def test_few_readings_do_not_make_a_fault():
    rng = np.random.default_rng(8)
    codes = {"instrument": np.repeat(np.arange(10), [300] * 9 + [2])}
    h = of(rng, codes, {"instrument": np.zeros(10)})
    y = np.where(codes["instrument"] == 9, h.y - h.y[codes["instrument"] == 9].mean() - 0.4, h.y)
    c = np.column_stack([np.ones(len(y)), y])
    sums = h.sums.__class__(len(y), h.sums.zz, h.z.T @ c / SIGMA**2, c.T @ c / SIGMA**2, h.sums.logdet)
    found = heavy_tailed_posterior(sums, h.parts, {"instrument": 0.05}, levels(np.arange(10)))
    low, high = found.fixed.interval()
    assert low[-1] < -0.8 and high[-1] > -0.15
    assert abs(found.posterior.centre[-1]) < 0.25
    assert found.posterior.beyond(0.3)[-1] < 0.5
    assert found.share[-1] < 0.6 < found.share[0]


def test_fixed_against_least_squares():
    """Oracle: dummy-variable least squares (numpy), the error's sd known; the doubt of the comparator included."""
    h = crossed(np.random.default_rng(9), [0.1, -0.2, 0.3, 0.0], people=0, wards=0, n=200)
    found = heavy_tailed_posterior(h.sums, h.parts, {"instrument": 0.1}, levels(np.arange(4)))
    means = np.linalg.lstsq(h.z, h.y, rcond=None)[0]
    take = found.comparison.contrasts(np.eye(4))
    assert found.fixed.centre == pytest.approx(take @ means, abs=1e-4)
    spread = np.diag(take @ np.linalg.inv(h.z.T @ h.z) @ take.T)
    assert np.sqrt(found.fixed.variance) == pytest.approx(SIGMA * np.sqrt(spread), rel=1e-3)


def test_one_instrument_alone_is_told_nothing_of():
    _, found = reviewed([0.4], 200, 10, people=4, wards=2)
    assert found.share[0] == pytest.approx(0, abs=0.02)
    assert np.sqrt(found.fixed.variance[0]) == pytest.approx(FREE_C, rel=0.01)
    assert not found.comparison.compared[0]


def test_intervals_of_small_fleets_cover():
    """Oracle: the truths the readings were made from; a small share of studies/test_instrument_intervals.py."""
    rng, held, heavy, flags, false = np.random.default_rng(11), [], [], 0, 0
    for k, seed in product((3, 4, 8), range(10)):
        truth = rng.choice([0.0, 0.4], k, p=[0.85, 0.15]) + rng.normal(0, 0.06, k)
        _, found = reviewed(truth, 60 * k, seed, people=6, wards=2)
        own = found.comparison.contrasts(truth)
        for said, keep in ((found.fixed, held), (found.posterior, heavy)):
            low, high = said.interval()
            keep += ((low <= own) & (own <= high)).tolist()
        chance = found.posterior.beyond(0.3)
        flagged = np.argsort(-chance)[: expected_false_share(chance.tolist(), 0.1)]
        flags, false = flags + len(flagged), false + int((np.abs(own[flagged]) <= 0.3).sum())
    assert 0.90 <= np.mean(held) <= 0.99
    assert 0.90 <= np.mean(heavy) <= 0.99
    assert flags >= 6
    assert false <= 0.25 * flags


def test_sixty_instruments_agree_with_themselves_in_any_order():
    rng = np.random.default_rng(12)
    offsets = rng.normal(0, 0.07, 60)
    h = crossed(rng, offsets, people=0, wards=0, n=6000)
    order = rng.permutation(60)
    turned = h.sums.__class__(
        h.sums.n, h.sums.zz[np.ix_(order, order)], h.sums.zc[order], h.sums.cc, h.sums.logdet
    )
    one, other = (
        heavy_tailed_posterior(s, h.parts, {"instrument": 0.1}, levels(np.arange(60)))
        for s in (h.sums, turned)
    )
    assert other.posterior.centre == pytest.approx(one.posterior.centre[order], abs=1e-5)
    assert one.converged
