"""Small random sets of stays, and what their sums and slopes are by the plain formulas on dense matrices."""

import numpy as np

from browline.variation.stays.columns import Columns, Factor, columns
from browline.variation.stays.course import Course, course, dense


def stays(seed: int, n: int = 60, count: int = 9) -> Columns:
    """Stays with all that is odd: missing effects, covariates, doubts, two groups, three sites, equal times."""
    rng = np.random.default_rng(seed)
    stay = rng.integers(0, count, n)
    stay[-1] = count  # One reading alone.
    time = np.round(rng.exponential(30.0, n))
    time[rng.random(n) < 0.1] = 7.0
    factors = [
        Factor("instrument", rng.integers(-1, 5, n), 5),
        Factor("person", rng.integers(-1, 4, n), 4),
        Factor("drift", rng.integers(-1, 5, n), 5, rng.normal(size=n)),
    ]
    x = np.column_stack([np.ones(n), rng.normal(size=(n, 2))])
    return columns(
        rng.normal(size=n),
        x,
        factors,
        stay,
        time,
        site=rng.integers(0, 3, n),
        scaled=np.array([False, True, False]),
        variance_weight=rng.choice([1.0, 2.5, 50.0], n),
        group=stay % 2,
    )


def plain(columns_: Columns, at: Course) -> tuple[np.ndarray, np.ndarray]:
    """``[Z X y]`` float64[n, q + p + 1] and V float64[n, n] of all readings, entry by entry."""
    c, q = columns_.arrays, columns_.effects
    n, p = c.x.shape
    b, v = np.zeros((n, q + p + 1)), np.zeros((n, n))
    for s in range(columns_.stays):
        own = slice(c.first[s], c.first[s + 1])
        v[own, own] = dense(c, at, s)
        for i in range(own.start, own.stop):
            for f in range(c.local.shape[1]):
                if c.local[i, f] >= 0:
                    z = c.value[i, f] if c.value.shape[1] else 1.0
                    b[i, c.touched[c.begins[s] + c.local[i, f]]] += z
    for j in range(p):
        b[:, q + j] = c.x[:, j] * (at.slope[c.site] if c.scaled[j] else 1.0)
    b[:, -1] = c.y
    return b, v


def theta_of(at: Course) -> np.ndarray:
    """The parameters as the adjoint orders them: those of each group, at_site^2, reading^2 and slope of each site."""
    by_group = np.column_stack([at.patient**2, at.course**2, np.log(at.hours)]).ravel()
    return np.concatenate([by_group, [at.patient_site**2], at.reading**2, at.slope])


def course_of(theta: np.ndarray, groups: int, sites: int) -> Course:
    """The other way round."""
    by_group, rest = theta[: 3 * groups].reshape(-1, 3), theta[3 * groups :]
    return course(
        groups,
        sites,
        patient=np.sqrt(by_group[:, 0]),
        course=np.sqrt(by_group[:, 1]),
        hours=np.exp(by_group[:, 2]),
        patient_site=float(np.sqrt(rest[0])),
        reading=np.sqrt(rest[1 : 1 + sites]),
        slope=rest[1 + sites : 1 + 2 * sites],
    )


def covariances(
    columns_: Columns, theta: np.ndarray, groups: int, sites: int
) -> tuple[np.ndarray, np.ndarray]:
    """dV/dtheta float64[P, n, n] and dX/dslope float64[S, n, p], written from the formula of V."""
    c = columns_.arrays
    at = course_of(theta, groups, sites)
    n = len(c.y)
    stay = np.repeat(np.arange(columns_.stays), np.diff(c.first))
    together, group = np.equal.outer(stay, stay), c.group[stay]
    rise = at.slope[c.site]
    apart = np.abs(np.subtract.outer(c.time, c.time)) / at.hours[group]
    kernel, both = np.exp(-apart), np.outer(rise, rise) * together
    own = [both * (group == g) for g in range(groups)]
    made = []
    for g in range(groups):
        made += [own[g], own[g] * kernel, own[g] * at.course[g] ** 2 * apart * kernel]
    made.append((together & np.equal.outer(c.cell, c.cell)).astype(float))
    made += [np.diag((c.site == s) * c.variance_weight) for s in range(sites)]
    moves = together * (at.patient[group] ** 2 + at.course[group] ** 2 * kernel)
    for s in range(sites):
        one = (c.site == s).astype(float)
        made.append((np.outer(one, rise) + np.outer(rise, one)) * moves)
    means = np.array([np.where(c.scaled, c.x, 0.0) * (c.site == s)[:, None] for s in range(sites)])
    return np.array(made).reshape(-1, n, n), means


def reml(columns_: Columns, at: Course, sd: np.ndarray) -> float:
    """-2 log REML with V of everything inverted as it stands."""
    b, v = plain(columns_, at)
    q = columns_.effects
    z, x, y = b[:, :q], b[:, q:-1], b[:, -1]
    v = v + (z * sd**2) @ z.T
    xvx = x.T @ np.linalg.solve(v, x)
    beta = np.linalg.solve(xvx, x.T @ np.linalg.solve(v, y))
    e = y - x @ beta
    n, p = x.shape
    logs = np.linalg.slogdet(v)[1] + np.linalg.slogdet(xvx)[1]
    return float(logs + e @ np.linalg.solve(v, e) + (n - p) * np.log(2 * np.pi))


def cut(cores: int):
    """In place of `passes.runs`: the stays in as many runs as `cores`, however few they are."""
    return lambda made: np.unique(np.linspace(0, made.stays, cores + 1).astype(np.int64))
