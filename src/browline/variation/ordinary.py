"""The problem as the ordinary crossed model: which columns and factors it has, and which it has to drop."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.design import Codes, Design, Floats, design, independent_columns
from browline.variation.problem import FACTORS, Problem, rhythm

CENTRE = 37.0


@dataclass(frozen=True)
class Ordinary:
    """The design with the meaning of its columns.

    - `columns`: what each fixed column is, `("site", name)`, `("rhythm", ...)` or `("mean", "")`.
    - `dropped`: sentences on what the readings cannot hold, for `limits`.
    """

    design: Design
    columns: tuple[tuple[str, str], ...]
    dropped: tuple[str, ...]


def ordinary(problem: Problem, codes: Mapping[str, Codes]) -> Ordinary:
    """The crossed model of the problem, with `codes` of instrument, person and ward (segments may be split)."""
    x, columns, dropped = _fixed(problem)
    nest, nest_dropped = _nest(problem)
    factors, factor_dropped = _factors(codes, len(problem))
    made = design(problem.readings.value - CENTRE, x, factors, nest)
    return Ordinary(made, columns, (*dropped, *nest_dropped, *factor_dropped))


def _fixed(problem: Problem) -> tuple[Floats, tuple[tuple[str, str], ...], tuple[str, ...]]:
    at_site = problem.site[:, None] == np.arange(1, max(len(problem.sites), 1))
    x = np.column_stack([np.ones(len(problem)), at_site, rhythm(problem.readings.hour)])
    sites = [("site", name) for name in problem.sites[1:]]
    columns = [("mean", ""), *sites, *(("rhythm", str(k)) for k in range(4))]
    keep = independent_columns(x)
    kept = tuple(c for c, k in zip(columns, keep, strict=True) if k)
    lost = any(c[0] == "rhythm" and not k for c, k in zip(columns, keep, strict=True))
    said = ("Too few different hours are charted to tell the daily rhythm.",) if lost else ()
    return x[:, keep], kept, said


def _nest(problem: Problem) -> tuple[dict[str, Codes], tuple[str, ...]]:
    """Stay and episode, each only where it can be told from what lies inside it."""
    if problem.stay is None or problem.episode is None:
        said = (
            "The chart does not say which readings belong to one patient's stay, so an instrument or a ward"
        )
        return {}, (f"{said} that sees sicker patients cannot be told from one that reads high.",)
    n, stays, episodes = len(problem), _distinct(problem.stay), _distinct(problem.episode)
    if stays == n:
        return {}, ("Every stay has one reading only, so patients cannot be told from single readings.",)
    if episodes == n:
        return {"stay": problem.stay}, (
            "No two readings of a stay lie within 30 minutes, so a patient's course cannot be told from the"
            " spread of single readings.",
        )
    if episodes == stays:
        return {"stay": problem.stay}, (
            "All readings of a stay lie within 30 minutes of each other, so a patient's course cannot be told"
            " from the difference between patients.",
        )
    return {"stay": problem.stay, "episode": problem.episode}, ()


def _factors(codes: Mapping[str, Codes], n: int) -> tuple[dict[str, Codes], tuple[str, ...]]:
    factors, said = {}, []
    for name in FACTORS:
        levels = _distinct(codes[name][codes[name] >= 0])
        if levels >= 2 and levels < n:
            factors[name] = codes[name]
        else:
            said.append(_why_dropped(name, levels))
    return factors, tuple(said)


def _why_dropped(name: str, levels: int) -> str:
    if levels == 0:
        return f"The chart does not say the {name}, so nothing can be said about any single {name}."
    if levels == 1:
        return f"Only one {name} is charted, so there is none to compare it with."
    return f"Every reading has a {name} of its own, so the {name} cannot be told from single readings."


def _distinct(codes: Codes) -> int:
    return len(np.unique(codes))
