"""A secondary measure of whether training worked, in figures and in words, and several of them looked at together.

The level (level.py) is primary and named beforehand; it stays out of Holm's family.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from browline.variation.training.clustered import Estimate
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
    tested = [i for i, m in enumerate(measures) if m.p is not None]
    enlarged = dict(zip(tested, holm([p for m in measures if (p := m.p) is not None]), strict=True))
    return tuple(replace(m, p_holm=enlarged.get(i)) for i, m in enumerate(measures))


def measure_of_change(
    name: str,
    estimate: Estimate | None,
    unit: str,
    subject: str,
    scaled: Callable[[float], float],
    places: int,
) -> Measure:
    """The measure of what was told, or that it is too few to tell.

    - `what` opens its sentence. `shown` turns the effect and its ends into `unit`, and rises with them.
    """
    if estimate is None:
        return Measure(
            measure=name,
            effect=None,
            low=None,
            high=None,
            unit=unit,
            p=None,
            p_holm=None,
            sentence=f"{subject}: too few to tell.",
        )
    effect, low, high = (scaled(a) for a in (estimate.effect, estimate.low, estimate.high))
    return Measure(
        measure=name,
        effect=effect,
        low=low,
        high=high,
        unit=unit,
        p=estimate.p,
        p_holm=None,
        sentence=_sentence(subject, effect, low, high, unit, places),
    )


def _sentence(subject: str, effect: float, low: float, high: float, unit: str, places: int) -> str:
    """What was seen, in words; a change is claimed only where its interval is clear of nothing."""
    span = f"{_signed(low, places)} to {_signed(high, places)} {unit}"
    if low <= 0 <= high:
        return f"{subject} did not change clearly after sign-off ({span})."
    way = "larger" if effect > 0 else "smaller"
    return f"{subject} was {abs(effect):.{places}f} {unit} {way} after sign-off ({span})."


def _signed(value: float, places: int) -> str:
    return f"{value:+.{places}f}".replace("-", "−")
