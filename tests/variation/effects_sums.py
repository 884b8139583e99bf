"""Crossed readings without courses for the tests of the effects: the sums, and the readings behind them."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from browline.variation.stays.cross_products import Sums

SIGMA = 0.3


@dataclass(frozen=True)
class Hospital:
    """`sums` and `parts` as the fit gives them; `z` and `y` for dense twins."""

    sums: Sums
    parts: dict
    z: np.ndarray
    y: np.ndarray


def crossed(rng, offsets, *, people, wards, n, person_sd=0.06, ward_sd=0.06):
    """n readings by anyone anywhere; no people or wards where 0 are asked for."""
    codes = {"instrument": rng.integers(0, len(offsets), n)}
    true = {"instrument": np.asarray(offsets, float)}
    for name, k, sd in (("person", people, person_sd), ("ward", wards, ward_sd)):
        if k:
            codes[name], true[name] = rng.integers(0, k, n), rng.normal(0, sd, k)
    return of(rng, codes, true)


def of(rng, codes, true):
    """Readings of these codes and true effects, noise of SIGMA."""
    n = len(next(iter(codes.values())))
    y = 0.1 + rng.normal(0, SIGMA, n) + sum(true[name][codes[name]] for name in codes)
    z = np.hstack([np.eye(len(true[name]))[codes[name]] for name in codes])
    c, v = np.column_stack([np.ones(n), y]), SIGMA**2
    sums = Sums(n, z.T @ z / v, z.T @ c / v, c.T @ c / v, n * np.log(v))
    ends = np.cumsum([0, *(len(true[name]) for name in codes)]).tolist()
    return Hospital(sums, {name: slice(*e) for name, e in zip(codes, pairwise(ends), strict=True)}, z, y)


def dense(hospital, sds, names):
    """The readings and their covariance with the effects of `names` integrated out."""
    cov = SIGMA**2 * np.eye(len(hospital.y))
    for name in names:
        z = hospital.z[:, hospital.parts[name]]
        cov += sds[name] ** 2 * z @ z.T
    return hospital.y, cov
