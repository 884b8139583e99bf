"""The robust covariance: a dense twin, the model's own where the model is right, wider where stays have a course."""

import numpy as np
import pytest

from browline.variation.design import design
from browline.variation.fit import fit
from browline.variation.residuals import residuals
from browline.variation.robust import robust_covariance


def ward(rng, stays, each, course_sd):
    """Stays read by one instrument in their first half and another in their second; `course_sd`: a slow wave."""
    n = stays * each
    stay = np.repeat(np.arange(stays), each)
    hours = np.tile(np.arange(each) * 4.0, stays)
    first, second = rng.integers(0, 12, stays)[stay], rng.integers(0, 12, stays)[stay]
    instrument = np.where(hours < each * 2.0, first, second)
    phase = rng.uniform(0, 2 * np.pi, stays)[stay]
    wave = course_sd * np.sqrt(2) * np.sin(2 * np.pi * hours / 48 + phase)
    y = rng.normal(0, 0.3, stays)[stay] + rng.normal(0, 0.1, 12)[instrument] + wave + rng.normal(0, 0.2, n)
    return y, stay, instrument


def made(rng, stays=300, each=8, course_sd=0.0):
    y, stay, instrument = ward(rng, stays, each, course_sd)
    d = design(y, np.ones((len(y), 1)), {"instrument": instrument}, {"stay": stay})
    got = fit(d)
    return d, got, robust_covariance(d, got, residuals(d, got))


def test_a_dense_twin_gives_the_same_matrix():
    d, got, robust = made(np.random.default_rng(5), stays=20, each=6, course_sd=0.2)
    z = np.eye(12)[d.factors[0].codes]
    b = np.hstack([z, d.x])
    stay = d.nest[0].codes
    inverse = np.linalg.inv(np.eye(len(d.y)) + got.tau[0] ** 2 * (stay[:, None] == stay[None, :]))
    e = d.y - b @ np.concatenate([got.at.u, got.at.beta])
    scores = np.array([(b[stay == s].T @ (inverse @ e)[stay == s]) for s in np.unique(stay)]) / got.sigma
    prior = np.diag(np.concatenate([np.full(12, 1 / got.tau[1] ** 2), [0.0]]))
    c = np.linalg.inv(b.T @ inverse @ b + prior)
    twin = c @ scores.T @ scores @ c + c @ prior @ c
    assert robust == pytest.approx(twin, rel=1e-6, abs=1e-9)


def test_where_the_model_is_right_it_is_the_models_own_on_average():
    ratios = []
    for seed in range(6):
        _, got, robust = made(np.random.default_rng(seed), stays=600)
        ratios += list(np.diag(robust)[:12] / np.diag(got.at.covariance)[:12])
    assert np.mean(ratios) == pytest.approx(1.0, abs=0.12)


def test_where_stays_have_a_course_it_doubts_more():
    _, got, robust = made(np.random.default_rng(1), stays=600, course_sd=0.4)
    assert np.mean(np.diag(robust)[:12] / np.diag(got.at.covariance)[:12]) > 1.1


def test_intervals_of_honest_instruments_hold_about_19_times_in_20():
    """Invented hospitals without planted faults, their own courses, technique, seasons and patients included."""
    from browline.hospital import invent, readings_of
    from browline.variation import Problem, solve

    held = []
    for seed in (1, 2, 3):
        hospital = invent(20_000, seed=seed, faults=())
        latent, names = hospital.latent, [str(x) for x in hospital.house.fleet.id]
        added = latent.instrument_part + latent.lens_part
        effects = [
            e for e in solve(Problem.of(readings_of(hospital))).instruments if e.name[0] == "F" and e.n > 100
        ]
        true = np.array([added[latent.instrument == names.index(e.name)].mean() for e in effects])
        off = np.array([e.offset_c for e in effects]) - true
        # Charts show scanners against each other only, so the scanners' common part is taken off.
        half = np.array([e.high_c - e.offset_c for e in effects])
        held += list(np.abs(off - np.average(off, weights=1 / half**2)) <= half)
    assert len(held) > 30
    assert 0.90 <= np.mean(held) <= 1.0
