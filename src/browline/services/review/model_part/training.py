"""Did training work, in words: the verdict first, then its figures, what stands beside it, and the months around."""

from dataclasses import dataclass

from browline import display
from browline.services.review.model_rows import AroundMonth, AroundPart, ModelPart, TrainingPart, TrendRow
from browline.services.review.rows import Document, MeasureRow
from browline.services.review.supplement_rows import Supplement

VERDICTS = {
    "changed-as-hoped": "Practice changed as hoped.",
    "no-change-seen": "No change was seen.",
    "changed-the-wrong-way": "Practice changed the wrong way.",
    "cannot-tell": "The charts cannot tell.",
}


@dataclass(frozen=True)
class TrainingTold:
    """The answer in words, texts empty where the charts do not give them.

    - `effect` with `interval` (95 %) against `comparator`; `measures`: (what, change, interval, chance, sentence).
    - `months`: rows for the picture of the months around sign-off, `months_said` and `trend` its sentences.
    """

    verdict: str
    sentence: str
    effect: str
    interval: str
    comparator: str
    rests_on: str
    advice: str
    why: tuple[str, ...]
    measures: tuple[tuple[str, str, str, str, str], ...]
    months: tuple[AroundMonth, ...]
    months_said: str
    trend: str
    beside: tuple[str, ...]


def training_told(result: Document, supplement: Supplement, unit: str) -> TrainingTold | None:
    """What a review says of training; None where it says nothing."""
    training = result.get("training")
    if not training:
        return None
    model: ModelPart = supplement.get("model") or {}
    kept = model.get("training")
    around: AroundPart = (kept and kept.get("around")) or {}
    effect = training.get("effect_c")
    measures = (kept and kept.get("measures")) or training.get("measures") or []
    drawn = any(m["mean_c"] is not None for m in around.get("months") or [])
    return TrainingTold(
        verdict=VERDICTS.get(training.get("verdict", ""), ""),
        sentence=training.get("sentence") or "",
        effect=display.both(effect, unit) if effect is not None else "",
        interval=display.span(training.get("low_c"), training.get("high_c"), unit)
        if effect is not None
        else "",
        comparator=(kept and kept.get("comparator")) or "",
        rests_on=_rests_on(kept),
        advice=(kept and kept.get("advice")) or "",
        why=tuple((kept and kept.get("why")) or ()),
        measures=tuple(_measure(m, unit) for m in measures),
        months=tuple(around.get("months") or ()) if drawn else (),
        months_said=around.get("sentence") or "",
        trend=_trend(around.get("trend"), unit),
        beside=tuple((kept and kept.get("beside")) or ()),
    )


def _rests_on(kept: TrainingPart | None) -> str:
    if not kept:
        return ""
    signed = kept["people_signed_off"]
    people = "fewer than 10 people" if signed < display.FEWEST else display.many(signed, "person", "people")
    return f"{people} signed off, {display.many(kept['wards'], 'ward')}"


NAMED = {
    "spread-between-people": "how far people read apart",
    "spread-between-readings": "how far readings of one stay scatter",
    "readings-unlikely-measured": "share of readings unlikely to have been measured",
}
PLACES = {"%": 0, "percentage points": 1}


def _measure(m: MeasureRow, unit: str) -> tuple[str, str, str, str, str]:
    """One secondary measure: its change, interval, and how often luck among all of them would do as much."""
    name = NAMED.get(m["measure"], str(m["measure"]).replace("-", " "))
    effect = m.get("effect")
    if effect is None:
        return name, "–", "too few to tell", "", str(m.get("sentence") or "")
    change, low, high = (_signed(value, m["unit"], unit) for value in (effect, m["low"], m["high"]))
    named = f"°{unit}" if m["unit"] == "°C" else str(m["unit"])
    shown = f"{change} {named}", f"{low} to {high} {named}"
    return name, *shown, by_luck(m.get("p_holm")), str(m.get("sentence") or "")


def _signed(value: float | None, kept_in: str, unit: str) -> str:
    if value is None:
        return "–"
    if kept_in == "°C":
        return display.signed(display.in_unit_difference(value, unit))
    return f"{value:+.{PLACES.get(kept_in, 2)}f}".replace("-", "−")


def by_luck(p: float | None) -> str:
    """A chance by luck alone, as a frequency over reviews.

    >>> by_luck(0.012), by_luck(0.0002), by_luck(0.6)
    ('about once in 80 reviews', 'less than once in 1,000 reviews', 'often')
    """
    if p is None:
        return ""
    if p >= 0.5:
        return "often"
    if p < 0.001:
        return "less than once in 1,000 reviews"
    often = 1 / p
    return f"about once in {round(often, -1 if often >= 20 else 0):,.0f} reviews"


def _trend(trend: TrendRow | None, unit: str) -> str:
    if trend is None:
        return ""
    size = display.difference(trend["slope_c"], unit)
    return (
        f"Before sign-off readings changed by {size} a month"
        f" (95 % interval {display.span(trend['low_c'], trend['high_c'], unit)}). {trend['sentence']}"
    )
