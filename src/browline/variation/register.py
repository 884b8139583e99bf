"""What the register and the cleaning log know of an instrument, put beside its effect."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime

from browline.variation.cleaning import Contrast
from browline.variation.problem import Problem
from browline.variation.result import Effect


def with_register(
    problem: Problem, effects: tuple[Effect, ...], cleaned: Mapping[int, Contrast]
) -> tuple[Effect, ...]:
    """The instruments with mode, cleanings since their offset began, and the contrast across a cleaning."""
    usual = _commonest(list(problem.modes.values()))
    return tuple(_with(problem, effect, cleaned.get(effect.level), usual) for effect in effects)


def _with(problem: Problem, effect: Effect, cleaned: Contrast | None, usual: str | None) -> Effect:
    mode = problem.modes.get(effect.name)
    return replace(
        effect,
        cleanings_since=_cleanings_since(problem, effect),
        mode=mode,
        mode_differs=None if mode is None else mode != usual,
        after_cleaning_c=None if cleaned is None else cleaned.rise_c,
        after_cleaning_sd_c=None if cleaned is None else cleaned.sd_c,
    )


def _cleanings_since(problem: Problem, effect: Effect) -> int:
    times = problem.cleanings.get(effect.name)
    if times is None or effect.since is None:
        return 0
    first = datetime.combine(effect.since, datetime.min.time(), UTC).timestamp() / 3600.0
    return int((times >= first).sum())


def _commonest(words: list[str]) -> str | None:
    return max(sorted(set(words)), key=words.count) if words else None
