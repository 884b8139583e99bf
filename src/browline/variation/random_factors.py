"""The random factors: instruments, people, wards, a ward's months, and instruments' own drift.

Technique and skin act only where a hand and a face are in play, so people and wards have no effect at core sites.
A ward's months follow one another, ``cov(u_m, u_m') = sd^2 rho^|m - m'|``: without that, a ward's many readings of
one odd month would pass for so many independent witnesses.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.quantities.sites import CORE_SITES
from browline.variation.arrays import Codes, Floats
from browline.variation.days_since_cleaning import SinceCleaning
from browline.variation.effects.ar1 import ar1_block_root
from browline.variation.problem import FACTORS, Problem
from browline.variation.stays.columns import Factor

MONTH_HOURS = 730.5
FEWEST_PERIODS, MOST_MONTH_EFFECTS, READINGS_A_PERIOD = 3, 1200, 10
RHO = 0.6


@dataclass(frozen=True)
class Random:
    """`factors` in order; `periods`: periods of each ward in factor "month" (0: none); `dropped`: sentences."""

    factors: tuple[Factor, ...]
    periods: int
    dropped: tuple[str, ...]

    def roots(self, rho: float = RHO) -> dict[str, Floats]:
        """The root of the months' correlation, for all wards."""
        if not self.periods:
            return {}
        month = next(f for f in self.factors if f.name == "month")
        return {"month": ar1_block_root(month.levels // self.periods, self.periods, rho)}


def random(problem: Problem, codes: Mapping[str, Codes], since_cleaning: SinceCleaning | None) -> Random:
    """The random factors these readings can hold, with `codes` of instrument, person and ward (segments split)."""
    n, acts = len(problem), ~core_readings(problem)
    factors: list[Factor] = []
    dropped: list[str] = []
    for name in FACTORS:
        factor_codes = codes[name] if name == "instrument" else np.where(acts, codes[name], -1)
        levels = len(np.unique(factor_codes[factor_codes >= 0]))
        if 2 <= levels < n:
            factors.append(Factor(name, factor_codes, int(factor_codes.max()) + 1))
        else:
            dropped.append(why_dropped(name, levels))
    periods = 0
    by_name = {f.name: f for f in factors}
    if "ward" in by_name:
        month, periods = _months(problem, by_name["ward"])
        factors += [month] if month is not None else []
    if "instrument" in by_name and since_cleaning is not None:
        instrument = by_name["instrument"]
        drifting = np.where(since_cleaning.known, instrument.codes, -1)
        factors.append(Factor("drift", drifting, instrument.levels, since_cleaning.days))
    return Random(tuple(factors), periods, tuple(dropped))


def core_readings(problem: Problem) -> "np.typing.NDArray[np.bool_]":
    """Which readings were taken at a core site."""
    core = np.array([site in CORE_SITES for site in problem.sites], bool)
    return core[problem.site] if len(core) else np.zeros(len(problem), bool)


def _months(problem: Problem, ward: Factor) -> tuple[Factor | None, int]:
    """The factor ward by month, in longer periods where there would be too many; None for a short export."""
    hours = problem.readings.time - problem.readings.time.min()
    length = MONTH_HOURS
    most = min(MOST_MONTH_EFFECTS, len(problem) // READINGS_A_PERIOD)
    while ward.levels * (int(hours.max() / length) + 1) > max(most, ward.levels):
        length *= 1.5
    period = (hours / length).astype(np.int64)
    periods = int(period.max()) + 1
    if periods < FEWEST_PERIODS:
        return None, 0
    codes = np.where(ward.codes >= 0, ward.codes * periods + period, -1)
    return Factor("month", codes, ward.levels * periods), periods


def why_dropped(name: str, levels: int) -> str:
    """Why a factor is not in the model."""
    if levels == 0:
        return f"The chart does not say the {name}, so nothing can be said about any single {name}."
    if levels == 1:
        return f"Only one {name} is charted, so there is none to compare it with."
    return f"Every reading has a {name} of its own, so the {name} cannot be told from single readings."
