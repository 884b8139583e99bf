"""Which instruments, wards and people are judged: not those whose readings are mostly by mouth or in the armpit.

The technique of persons, wards and months is put alike on every site outside the core. A probe under a tongue or in
an armpit has a technique of its own, so there what a hand does and what an instrument reads are not told apart.
"""

from dataclasses import replace

import numpy as np

from browline.quantities.sites import NOT_TOLD_APART
from browline.variation.arrays import Codes
from browline.variation.problem import Problem
from browline.variation.random_factors import core_readings
from browline.variation.result import Effect


def with_judged(problem: Problem, effects: dict[str, tuple[Effect, ...]]) -> dict[str, tuple[Effect, ...]]:
    """The effects, each told whether it is judged."""
    return {name: _judged_rows(problem, name, rows) for name, rows in effects.items()}


def _judged_rows(problem: Problem, name: str, effects: tuple[Effect, ...]) -> tuple[Effect, ...]:
    main = main_sites(problem, name)
    return tuple(replace(e, judged=main[e.code] not in NOT_TOLD_APART) for e in effects)


def main_sites(problem: Problem, name: str) -> tuple[str, ...]:
    """The site most readings were taken at, by code; "" without any.

    Of a ward or a person only readings outside the core count: on the others they have no effect. Of an instrument it
    is the site whose instruments it is compared with.
    """
    codes = problem.readings.codes[name].astype(np.int64)
    counted = codes >= 0 if name == "instrument" else (codes >= 0) & ~core_readings(problem)
    counts = _counts(
        codes[counted], problem.site[counted], len(problem.readings.names[name]), len(problem.sites)
    )
    most = counts.argmax(axis=1) if len(problem.sites) else np.zeros(len(counts), np.int64)
    return tuple(problem.sites[k] if row[k] else "" for k, row in zip(most, counts, strict=True))


def _counts(codes: Codes, site: Codes, names: int, sites: int) -> Codes:
    return np.bincount(codes * sites + site, minlength=names * sites).reshape(names, sites)
