"""The slow, obvious twin of the joint model: one dense covariance of all readings, inverted as it stands.

    y = X beta + N(0, V),   V = [same stay] lambda lambda' (patient + course exp(-|t - t'| / tau))
                              + [same stay and site] patient_site + [same instrument] instrument + [same person] person
                              + diag(error of the site / weight)
    -2 log REML = (n - p) log 2 pi + log det V + log det X' V^-1 X + (y - X beta)' V^-1 (y - X beta)

X holds a constant, a column for each site but the first, and four rhythm columns times the site's slope lambda.
The first site's slope is 1; then it makes no difference whether the constant is multiplied by lambda too, since the
site columns take it up and the change of columns has determinant 1.

Everything is written without conjugates and absolute values of parameters, so that a complex step gives derivatives
to the last digit (Squire & Trapp 1998, SIAM Review 40(1), 110-112; from memory).
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

ORACLES = Path(__file__).parents[1] / "oracles"
Array = NDArray[np.generic]
STEP = 1e-30


@dataclass(frozen=True)
class Set:
    """Readings as columns: `hour` since the stay began, `clock` in hours; `person` and `group` may be constant."""

    y: Array
    stay: Array
    hour: Array
    clock: Array
    site: Array
    instrument: Array
    person: Array
    group: Array

    @property
    def sites(self) -> list[str]:
        """The sites in the order of the alphabet; the first is the reference."""
        return sorted(set(self.site.tolist()))


@dataclass(frozen=True)
class Answer:
    """The criteria and their parts at fixed spreads; `effects` are instruments' (best linear predictions)."""

    reml: complex
    ml: complex
    logdet_v: complex
    logdet_xvx: complex
    square: complex
    beta: Array
    beta_se: Array
    effects: dict[str, float]
    effects_sd: dict[str, float]


def course_set(name: str) -> Set:
    """A set made by tools/course_sets.py; what it does not have is constant."""
    with (ORACLES / f"{name}.csv").open() as file:
        rows = list(csv.DictReader(file))
    c = {key: np.array([row[key] for row in rows]) for key in rows[0]}
    same = np.full(len(c["value"]), "")
    return Set(
        c["value"].astype(float),
        c["stay"],
        c["minute"].astype(float) / 60,
        c["clock"].astype(float) / 60 if "clock" in c else np.zeros(len(same)),
        *(c.get(key, same) for key in ("site", "instrument", "person", "group")),
    )


def variances(table: Mapping[str, float]) -> dict[str, complex]:
    """Keys "sd:..." squared into "variance:..."; "tau..." (hours) and "slope:..." as they are; others left out.

    >>> variances({"sd:patient": 0.5, "tau": 9.0, "criterion": 1.0})
    {'variance:patient': 0.25, 'tau': 9.0}
    """
    squared = {"variance" + key[2:]: value**2 for key, value in table.items() if key.startswith("sd:")}
    return squared | {key: value for key, value in table.items() if key.startswith(("tau", "slope:"))}


def slope(d: Set, at: Mapping[str, complex]) -> Array:
    """Lambda of each reading's site; 1 where nothing is said."""
    return np.array([at.get(f"slope:{site}", 1.0) for site in d.site])


def by_group(d: Set, at: Mapping[str, complex], key: str, otherwise: float = 0.0) -> Array:
    """A parameter of each reading's care group, or the one that all groups share, or `otherwise`."""
    return np.array([at.get(f"{key}:{group}", at.get(key, otherwise)) for group in d.group])


def fixed(d: Set, at: Mapping[str, complex]) -> Array:
    """X, complex[n, p]."""
    angle = 2 * np.pi * d.clock / 24
    rhythm = (np.cos(angle), np.sin(angle), np.cos(2 * angle), np.sin(2 * angle)) if np.ptp(d.clock) else ()
    lam = slope(d, at)
    sites = [d.site == site for site in d.sites[1:]]
    return np.column_stack([np.ones(len(d.y)), *sites, *(lam * wave for wave in rhythm)])


def same(column: Array) -> Array:
    """1 where two readings share a value, else 0."""
    return (column[:, None] == column[None, :]).astype(float)


def stay_covariance(d: Set, at: Mapping[str, complex], weight: Array) -> Array:
    """V without instruments and people: complex[n, n], a block for each stay."""
    lam, stay = slope(d, at), same(d.stay)
    gap = np.abs(d.hour[:, None] - d.hour[None, :])
    tau = by_group(d, at, "tau", otherwise=1.0)[:, None]
    course = by_group(d, at, "variance:course")[:, None] * np.exp(-gap / tau)
    error = np.array([at.get(f"variance:error:{site}", 0.0) for site in d.site])
    patient = by_group(d, at, "variance:patient")[:, None]
    v = stay * np.outer(lam, lam) * (patient + course)
    return v + stay * same(d.site) * at.get("variance:patient_site", 0.0) + np.diag(error / weight)


def covariance(d: Set, at: Mapping[str, complex], weight: Array) -> Array:
    """V."""
    v = stay_covariance(d, at, weight)
    for name in ("instrument", "person"):
        v = v + same(getattr(d, name)) * at.get(f"variance:{name}", 0.0)
    return v


def log_determinant(matrix: Array) -> complex:
    """Of a matrix near a real positive definite one."""
    sign, size = np.linalg.slogdet(matrix.astype(complex))
    return complex(size, np.angle(sign))


def solved(d: Set, at: Mapping[str, complex], weight: Array | None = None) -> Answer:
    """Both criteria at the parameters `at` (see `variances`); `weight` divides a reading's error variance."""
    w = np.ones(len(d.y)) if weight is None else weight
    v, x = covariance(d, at, w), fixed(d, at)
    inverse_x, inverse_y = np.linalg.solve(v, x), np.linalg.solve(v, d.y)
    xvx = x.T @ inverse_x
    beta = np.linalg.solve(xvx, x.T @ inverse_y)
    weighted = inverse_y - inverse_x @ beta
    square, n, p = (d.y - x @ beta) @ weighted, *x.shape
    logdet_v, logdet_xvx = log_determinant(v), log_determinant(xvx)
    ml = n * np.log(2 * np.pi) + logdet_v + square
    se = np.sqrt(np.diag(np.linalg.inv(xvx)).real)
    effects, effects_sd = instruments(d, at, v, x, weighted)
    reml = ml - p * np.log(2 * np.pi) + logdet_xvx
    return Answer(reml, ml, logdet_v, logdet_xvx, square, beta.real, se, effects, effects_sd)


def instruments(
    d: Set, at: Mapping[str, complex], v: Array, x: Array, weighted: Array
) -> tuple[dict[str, float], dict[str, float]]:
    """Best linear predictions ``G Z' P y`` and their sds ``sqrt(G - G Z' P Z G)``, beta unknown."""
    names = sorted(set(d.instrument.tolist()))
    z, g = (
        (d.instrument[:, None] == np.array(names)).astype(float),
        np.real(at.get("variance:instrument", 0.0)),
    )
    inverse_z, inverse_x = np.linalg.solve(v, z).real, np.linalg.solve(v, x).real
    zpz = z.T @ inverse_z - inverse_z.T @ x.real @ np.linalg.solve((x.T @ inverse_x).real, inverse_x.T @ z)
    sd = np.sqrt(np.maximum(g - g**2 * np.diag(zpz), 0.0))
    return dict(zip(names, (g * z.T @ weighted.real).tolist(), strict=True)), dict(
        zip(names, sd.tolist(), strict=True)
    )


def slopes(d: Set, at: Mapping[str, complex], weight: Array | None = None) -> dict[str, tuple[float, float]]:
    """Derivatives of the REML and ML criteria by every parameter in `at` (variances, tau in hours, slopes)."""
    made = {}
    for key in at:
        answer = solved(d, {**at, key: at[key] + 1j * STEP}, weight)
        made[key] = (answer.reml.imag / STEP, answer.ml.imag / STEP)
    return made


def stay_sums(d: Set, at: Mapping[str, complex], weight: Array) -> dict[str, Array]:
    """What each stay adds up to, over all stays: ``A' W^-1 B`` with W the stays' own covariance and y less 37."""
    w, x, y = stay_covariance(d, at, weight).real, fixed(d, at).real, d.y - 37.0
    z = (d.instrument[:, None] == np.unique(d.instrument)).astype(float)
    wx, wy, wz = np.linalg.solve(w, x), np.linalg.solve(w, y), np.linalg.solve(w, z)
    logdet = np.array(log_determinant(w).real)
    return {
        "logdet": logdet,
        "yy": y @ wy,
        "xy": x.T @ wy,
        "xx": x.T @ wx,
        "zy": z.T @ wy,
        "zx": z.T @ wx,
        "zz": z.T @ wz,
    }
