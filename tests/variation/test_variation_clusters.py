"""The doubt that stays' scores add: a dense twin, and wider where stays move in ways the model lacks."""

import numpy as np
import pytest
from invented_readings import Truth, readings
from stays_of import plain

from browline.readings import Readings
from browline.variation import Problem
from browline.variation.clusters import clusters
from browline.variation.fit import fit
from browline.variation.joint_model import factor_levels
from browline.variation.model import model
from browline.variation.stays.residuals import residuals
from browline.variation.tables import Fitted


def fitted(n, seed=3, extra=None, **changes):
    """A small hospital fitted; `extra` float64[n] added to its values."""
    r = readings(n, **({"instruments": 8, "people": 6, "wards": 3, "seed": seed} | changes))
    r = r if extra is None else Readings(r.time, r.hour, r.value + extra(r), r.codes, r.names, r.row)
    problem = Problem.from_readings(r)
    kinds = factor_levels(problem)
    got = fit(model(problem, {name: kind.codes for name, kind in kinds.items()}), rho=0.6)
    return Fitted(got, kinds)


def test_the_scores_equal_the_dense_twin():
    """``sum_stays B_e'V_e^-1 e e'V_e^-1 B_e``, months as independent parts."""
    made = fitted(900)
    got, columns = made.fit, made.fit.model.columns
    found = clusters(got, residuals(columns, got.course, got.u, got.solution.beta))
    b, v = plain(columns, got.course)
    month = columns.slices()["month"]
    b[:, month] = b[:, month] @ got.model.random.roots(got.rho)["month"]
    pressed = np.linalg.solve(v, b @ got.solution.direction())
    rows = np.add.reduceat(b[:, :-1] * pressed[:, None], columns.arrays.first[:-1], axis=0)
    assert found.middle == pytest.approx(rows.T @ rows, rel=1e-6, abs=1e-6 * np.abs(rows.T @ rows).max())


def test_the_posterior_is_that_of_the_sums():
    """``C = C (B'V^-1B + G^-1) C``, so that the doubt is the model's own where scores vary as it says."""
    made = fitted(900)
    found, at, sums = made.clusters, made.fit.solution, made.fit.sums
    information = np.block([[sums.zz, sums.zc[:, :-1]], [sums.zc[:, :-1].T, sums.cc[:-1, :-1]]])
    free = np.append(at.sd > 0, np.ones(len(at.beta), bool))
    c = found.covariance[np.ix_(free, free)]
    both = information[np.ix_(free, free)] + np.diag(found.prior[free])
    assert c @ both @ c == pytest.approx(c, abs=1e-8)


def widening(made):
    part = made.fit.model.columns.slices()["instrument"]
    take = np.zeros((part.stop - part.start, len(made.fit.solution.covariance)))
    take[:, part] = np.eye(len(take)) - 1 / len(take)
    return made.clusters.widening(take)


def test_where_stays_move_with_an_instrument_intervals_widen():
    """In the second, each stay has its own difference with every instrument, which the model does not have."""

    def own(r):
        by_pair = np.random.default_rng(5).normal(0, 0.6, (int(r.codes["stay"].max()) + 1, 8))
        return by_pair[r.codes["stay"], r.codes["instrument"]]

    truth = Truth(course=0.0, instrument=0.1)
    right = widening(fitted(3000, truth=truth, seed=4))
    wrong = widening(
        fitted(3000, truth=truth, seed=4, extra=lambda r: 3 * own(r) * (r.codes["stay"] % 9 == 0))
    )
    assert (right >= 1).all() and right.mean() < 1.15
    assert wrong.mean() > right.mean() + 0.05
