"""A secondary measure of whether training worked, in figures and in words, and several of them looked at together.

The level (level.py) is primary and named beforehand; it stays out of Holm's family.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from browline.variation.training.clustered import Told
from browline.variation.training.holm import holm


@dataclass(frozen=True)
class Measure:
    """One measure: what sign-off did to it, with its 95 % interval; None where too few to tell.

    `p`: chance of so large an effect by luck; `p_holm`: the same among all measures looked at together.
    """

    measure: str
    effect: float | None
    low: float | None
    high: float | None
    unit: str
    p: float | None
    p_holm: float | None
    sentence: str


def with_holm(measures: Sequence[Measure]) -> tuple[Measure, ...]:
    """The same measures, each with its chance among all those that can be told."""
    told = [i for i, m in enumerate(measures) if m.p is not None]
    enlarged = dict(zip(told, holm([p for m in measures if (p := m.p) is not None]), strict=True))
    return tuple(replace(m, p_holm=enlarged.get(i)) for i, m in enumerate(measures))


def told_as(
    name: str, told: Told | None, unit: str, what: str, shown: Callable[[float], float], places: int
) -> Measure:
    """The measure of what was told, or that it is too few to tell.

    - `what` opens its sentence. `shown` turns the effect and its ends into `unit`, and rises with them.
    """
    if told is None:
        return Measure(
            measure=name,
            effect=None,
            low=None,
            high=None,
            unit=unit,
            p=None,
            p_holm=None,
            sentence=f"{what}: too few to tell.",
        )
    effect, low, high = (shown(a) for a in (told.effect, told.low, told.high))
    return Measure(
        measure=name,
        effect=effect,
        low=low,
        high=high,
        unit=unit,
        p=told.p,
        p_holm=None,
        sentence=_sentence(what, effect, low, high, unit, places),
    )


def _sentence(what: str, effect: float, low: float, high: float, unit: str, places: int) -> str:
    """What was seen, in words; a change is claimed only where its interval is clear of nothing."""
    span = f"{_signed(low, places)} to {_signed(high, places)} {unit}"
    if low <= 0 <= high:
        return f"{what} did not change clearly after sign-off ({span})."
    way = "larger" if effect > 0 else "smaller"
    return f"{what} was {abs(effect):.{places}f} {unit} {way} after sign-off ({span})."


def _signed(value: float, places: int) -> str:
    return f"{value:+.{places}f}".replace("-", "−")
