"""The doubt about the effects' sds: against brute-force grids, adaptive quadrature and a direct dense form."""

import numpy as np
import pytest
from effects_sums import crossed, dense
from scipy import integrate as quadrature
from scipy.stats import multivariate_normal, norm

from browline.variation.effects.contrasts import against, middle
from browline.variation.effects.integrate import LEAST, SCALE_C, integrated, set_aside
from browline.variation.effects.lattice import nodes
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.schur_complement import quadratic, schur_complement
from browline.variation.effects.solved import criterion, solved
from browline.variation.levels import levels


@pytest.fixture
def hospital():
    return crossed(np.random.default_rng(3), [0.1, -0.15, 0.05, 0.3], people=6, wards=3, n=400)


def test_one_sd_against_adaptive_quadrature():
    """Oracle: scipy.integrate.quad over the sd itself, on the marginal density of the readings."""
    h = crossed(np.random.default_rng(1), [0.2, -0.1, 0.1], people=0, wards=0, n=60)
    c = np.array([1.0, -0.5, -0.5, 0.0])
    top = -criterion(h.sums, np.full(3, 0.15)) / 2

    def density(sd):
        return np.exp(-criterion(h.sums, np.full(3, sd)) / 2 - top - (sd / SCALE_C["instrument"]) ** 2 / 2)

    def moment(of):
        return quadrature.quad(lambda sd: density(sd) * of(solved(h.sums, np.full(3, sd))), 0, 2, limit=200)[
            0
        ]

    whole = moment(lambda f: 1.0)
    mean = moment(lambda f: float(c @ np.append(f.u, f.beta))) / whole
    second = moment(lambda f: float(c @ np.append(f.u, f.beta)) ** 2 + float(c @ f.covariance @ c)) / whole
    over = moment(
        lambda f: norm.sf(0.3, float(c @ np.append(f.u, f.beta)), float(np.sqrt(c @ f.covariance @ c)))
    )
    found = integrated(h.sums, h.parts, {"instrument": 0.15}).contrasts(c[None])
    assert found.centre[0] == pytest.approx(mean, abs=0.002)
    assert np.sqrt(found.variance[0]) == pytest.approx(np.sqrt(second - mean**2), rel=0.02)
    assert 1 - found.below(0.3)[0] == pytest.approx(over / whole, abs=0.005)


def test_three_sds_against_a_brute_force_grid(hospital):
    """Oracle: 14^3 equal cells in log sd, with the same prior."""
    h, k = hospital, 14
    names, size = list(h.parts), [s.stop - s.start for s in h.parts.values()]
    axes = [np.linspace(np.log(LEAST * SCALE_C[n]), np.log(3 * SCALE_C[n]), k) for n in names]
    c = np.zeros((1, len(h.sums.zz) + 1))
    c[0, :4] = [1, -1 / 3, -1 / 3, -1 / 3]
    height, mean, second = [], [], []
    for t in np.stack(np.meshgrid(*axes, indexing="ij"), -1).reshape(-1, 3):
        sd = np.exp(t)
        f = solved(h.sums, np.repeat(sd, size))
        m = (c @ np.append(f.u, f.beta))[0]
        height.append(
            -f.criterion / 2
            + t.sum()
            - sum((s / SCALE_C[n]) ** 2 for s, n in zip(sd, names, strict=True)) / 2
        )
        mean.append(m)
        second.append(m**2 + (c @ f.covariance @ c.T)[0, 0])
    weight = np.exp(np.array(height) - max(height))
    weight /= weight.sum()
    found = integrated(h.sums, h.parts, dict.fromkeys(names, 0.1)).contrasts(c)
    centre = weight @ mean
    assert found.centre[0] == pytest.approx(centre, abs=0.002)
    assert np.sqrt(found.variance[0]) == pytest.approx(np.sqrt(weight @ second - centre**2), rel=0.02)


def test_a_part_on_the_boundary_keeps_its_doubt():
    h = crossed(np.random.default_rng(5), [0.0, 0.0, 0.0], people=0, wards=3, n=90, ward_sd=0.0)
    over = integrated(h.sums, h.parts, {"instrument": 0.0, "ward": 0.0})
    assert over.sd("ward")[0] > 0.02
    assert (over.weight > 0).all() and over.weight.sum() == pytest.approx(1)


def test_a_part_of_many_levels_is_held(hospital):
    over = integrated(hospital.sums, hospital.parts, dict.fromkeys(hospital.parts, 0.07), many=5)
    assert over.varied == ("instrument", "ward")
    assert over.sd("person") == (pytest.approx(0.07), pytest.approx(0, abs=1e-9))


def test_holding_a_part_of_many_levels_hardly_moves_the_intervals():
    """Oracle: the same with every part integrated over."""
    h = crossed(np.random.default_rng(6), [0.1, -0.1, 0.0, 0.2], people=110, wards=3, n=3000)
    c = np.zeros((1, len(h.sums.zz) + 1))
    c[0, :4] = [1, -1 / 3, -1 / 3, -1 / 3]
    sds = {"instrument": 0.1, "person": 0.06, "ward": 0.06}
    held = integrated(h.sums, h.parts, sds).contrasts(c)
    free = integrated(h.sums, h.parts, sds, many=200).contrasts(c)
    assert np.sqrt(held.variance[0] / free.variance[0]) == pytest.approx(1, abs=0.03)


def test_eliminating_against_the_dense_normal(hospital):
    """Oracle: scipy's multivariate normal of the readings' contrasts of the columns, formed reading by reading."""
    h = hospital
    sds = {"instrument": 0.2, "person": 0.06, "ward": 0.05}
    for u in (np.zeros(4), np.array([0.1, 0.0, -0.2, 0.3])):
        small, left = set_aside(h.sums, h.parts, sds, ("person", "ward"))
        q = quadratic(small)
        ours = -(u @ q.precision @ u - 2 * q.score @ u + q.base) / 2
        assert left == {"instrument": slice(0, 4)}
        y, cov = dense(h, sds, ("person", "ward"))
        basis = np.linalg.svd(np.ones((1, len(y))))[2][1:]
        z = h.z[:, :4]
        theirs = multivariate_normal.logpdf(basis @ (y - z @ u), np.zeros(len(y) - 1), basis @ cov @ basis.T)
        assert ours == pytest.approx(theirs - np.log(len(y)) / 2, abs=1e-6)


def test_eliminating_nothing_and_all_leave_the_criterion(hospital):
    sd = np.full(len(hospital.sums.zz), 0.1)
    whole = criterion(hospital.sums, sd)
    for share in (0.0, 0.4, 1.0):
        away = np.arange(len(sd)) < share * len(sd)
        assert criterion(schur_complement(hospital.sums, away, sd), sd[~away]) == pytest.approx(
            whole, abs=1e-8
        )


def test_nodes_of_a_normal_and_of_a_skewed_density():
    """Oracle: the moments of a normal, and of log of a gamma (digamma, trigamma)."""
    cov = np.array([[0.2, 0.1], [0.1, 0.3]])
    found = nodes(lambda t: float(-(t - 1) @ np.linalg.solve(cov, t - 1) / 2), np.zeros(2), np.full(2, -9.0))
    centred = found.points - 1
    assert found.weight @ found.points == pytest.approx([1, 1], abs=1e-3)
    assert (centred * found.weight[:, None]).T @ centred == pytest.approx(cov, rel=0.02)
    skewed = nodes(lambda t: float(3 * t[0] - np.exp(t[0])), np.zeros(1), np.full(1, -9.0))
    mean = skewed.weight @ skewed.points[:, 0]
    assert mean == pytest.approx(0.92278, abs=0.02)
    assert skewed.weight @ (skewed.points[:, 0] - mean) ** 2 == pytest.approx(0.39493, rel=0.08)


def test_a_mixture_against_its_own_numbers():
    """Oracle: quantiles of one normal; a two-hump mixture by scipy.integrate.quad."""
    one = Mixture(np.ones(1), np.array([[0.1]]), np.array([[0.2]]))
    assert one.interval()[0][0] == pytest.approx(0.1 - 1.959964 * 0.2, abs=1e-6)
    two = Mixture(np.array([0.3, 0.7]), np.array([[0.5], [0.0]]), np.array([[0.1], [0.2]]))

    def density(x):
        return 0.3 * norm.pdf(x, 0.5, 0.1) + 0.7 * norm.pdf(x, 0.0, 0.2)

    def over(f, low, high):
        return quadrature.quad(lambda x: f(x) * density(x), low, high, limit=200)[0]

    mean = over(lambda x: x, -3, 3)
    assert two.centre[0] == pytest.approx(mean, abs=1e-7)
    assert two.variance[0] == pytest.approx(over(lambda x: (x - mean) ** 2, -3, 3), abs=1e-7)
    assert two.beyond(0.3)[0] == pytest.approx(1 - over(lambda x: 1.0, -0.3, 0.3), abs=1e-7)
    assert over(lambda x: 1.0, -3, two.quantile(0.9)[0]) == pytest.approx(0.9, abs=1e-6)


def test_comparisons_against_their_matrix():
    """Oracle: the contrasts written out one by one."""
    rng = np.random.default_rng(7)
    kind = levels(np.array([0, 1, 2, 3, 4])).split(1, np.array([0, 1, 0, 0, 0], bool), 5.0)
    u, root = rng.normal(0, 0.1, 6), rng.normal(0, 0.1, (6, 6))
    cov = root @ root.T
    weights = middle(kind, u, np.diag(cov))
    found = against(kind, weights)
    rows = np.eye(6)
    for i in range(6):
        others = (kind.subject != kind.subject[i]) * weights
        rows[i] -= others / others.sum()
    assert weights[1] == 0
    assert against(kind, np.ones(6)).contrasts(u)[0] == pytest.approx(u[0] - u[[5, 2, 3, 4]].mean())
    assert found.contrasts(u) == pytest.approx(rows @ u)
    assert found.within(cov) == pytest.approx(rows @ cov @ rows.T)
    assert found.variance(np.full(6, 0.04)) == pytest.approx(0.04 * (rows**2).sum(1))


def test_one_alone_is_compared_with_nothing():
    found = against(levels(np.array([0])), np.ones(1))
    assert not found.compared.any()
    assert found.contrasts(np.array([0.3])).tolist() == [0.3]
