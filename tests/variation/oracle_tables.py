"""Reads the oracle tables in tests/oracles made by tools/lme4_oracle.R, and fits the ordinary model to such sets."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from browline.variation.likelihood import Likelihood
from browline.variation.optimise import Optimum, optimise
from browline.variation.parameters import parameters
from browline.variation.stays.columns import Factor, columns
from browline.variation.stays.course import course

ORACLES = Path(__file__).parents[1] / "oracles"


def table(name: str) -> dict[str, np.ndarray]:
    """A teaching set as columns of text."""
    with (ORACLES / f"{name}.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([row[key] for row in rows]) for key in rows[0]}


def code(words: np.ndarray) -> np.ndarray:
    """Words as codes 0, 1, ... in the order of the alphabet."""
    return np.unique(words, return_inverse=True)[1].astype(np.int64)


def lme4(name: str) -> dict[str, float]:
    """What lme4 says of a set: sd:..., fixed:..., se:..., effect:..., criterion."""
    lines = (line.split("|") for line in (ORACLES / "lme4.txt").read_text().splitlines()[2:])
    return {what: float(value) for which, what, value in lines if which == name}


@dataclass(frozen=True)
class Ordinary:
    """An ordinary mixed model fitted: `sds` by name, "stay" and "cell" among them where given, "reading" the error."""

    found: Optimum
    sds: dict[str, float]

    @property
    def criterion(self) -> float:
        """-2 log REML."""
        return self.found.point.solution.criterion

    def fixed_sd(self) -> np.ndarray:
        """Standard errors of the fixed columns."""
        at = self.found.point.solution
        return np.sqrt(np.diag(at.covariance)[len(at.u) :])


def ordinary(
    y: np.ndarray,
    x: np.ndarray,
    factors: Mapping[str, np.ndarray],
    stay: np.ndarray | None = None,
    cell: np.ndarray | None = None,
) -> Ordinary:
    """REML without a course: `stay` is an intercept, `cell` one nested in it, both through the stays' covariance."""
    n, free = len(y), {"patient": stay is not None, "patient_site": cell is not None}
    made = columns(
        y,
        x,
        [Factor(name, codes, int(codes.max()) + 1) for name, codes in factors.items()],
        np.arange(n) if stay is None else stay,
        np.arange(n, dtype=float),
        cell=cell,
    )
    size = float(y.std()) / 2
    begin = course(
        1, 1, course=0.0, reading=size, **{name: size if there else 0.0 for name, there in free.items()}
    )
    moved = parameters(1, 1, len(factors), course=False, **free)
    found = optimise(Likelihood(made, moved), moved.places(begin, np.full(len(factors), size)), 1e-12)
    at, by_factor = moved.spreads(found.point.theta)
    sds = dict(zip(factors, by_factor.tolist(), strict=True)) | {"reading": float(at.reading[0])}
    sds |= {"stay": float(at.patient[0])} if free["patient"] else {}
    sds |= {"cell": at.patient_site} if free["patient_site"] else {}
    return Ordinary(found, sds)


def crossed() -> Ordinary:
    """The simulated crossed set fitted: stays, episodes nested in them, three crossed factors, two harmonics."""
    c = table("crossed")
    angle = c["hour"].astype(float) * 2 * np.pi / 24
    site = c["site"].astype(int)
    harmonics = (np.cos(angle), np.sin(angle), np.cos(2 * angle), np.sin(2 * angle))
    x = np.column_stack([np.ones(len(site)), site == 1, site == 2, *harmonics])
    factors = {name: c[name].astype(np.int64) - 1 for name in ("instrument", "person", "ward")}
    return ordinary(c["value"].astype(float) - 37, x, factors, code(c["stay"]), code(c["episode"]))
