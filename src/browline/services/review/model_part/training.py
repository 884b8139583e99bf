"""Did training work, in words: the verdict first, then its figures, what stands beside it, and the months around."""

from dataclasses import dataclass

from browline import display
from browline.documents.model import AroundMonth, BesideRow, ModelPart, TrainingPart, TrendRow
from browline.documents.review import MeasureRow, ReviewDocument

VERDICTS = {
    "changed-as-hoped": "Practice changed as hoped.",
    "no-change-seen": "No change was seen.",
    "changed-the-wrong-way": "Practice changed the wrong way.",
    "cannot-tell": "The charts cannot tell.",
}


@dataclass(frozen=True)
class TrainingWords:
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


def training_words(document: ReviewDocument, unit: str) -> TrainingWords | None:
    """What a review says of training; None where it says nothing."""
    training = document.training
    if training is None:
        return None
    part = (document.supplement.model or ModelPart()).training
    grounds = part or TrainingPart(wards=0, people_signed_off=0)
    around = grounds.around
    effect = training.effect_c
    drawn = any(m.mean_c is not None for m in around.months)
    return TrainingWords(
        verdict=VERDICTS.get(training.verdict, ""),
        sentence=training.sentence,
        effect=display.both(effect, unit) if effect is not None else "",
        interval=display.span(training.low_c, training.high_c, unit) if effect is not None else "",
        comparator=grounds.comparator,
        rests_on=_rests_on(part),
        advice=grounds.advice,
        why=grounds.why,
        measures=tuple(_measure(m, unit) for m in grounds.measures or map(_beside, training.measures)),
        months=around.months if drawn else (),
        months_said=around.sentence,
        trend=_trend(around.trend, unit),
        beside=grounds.beside,
    )


def _beside(m: MeasureRow) -> BesideRow:
    """A measure of the contract, in a review made before the model's part was stored."""
    return BesideRow(measure=m.measure, effect=m.effect, low=m.low, high=m.high, unit=m.unit)


def _rests_on(part: TrainingPart | None) -> str:
    if part is None:
        return ""
    signed = part.people_signed_off
    people = "fewer than 10 people" if signed < display.FEWEST else display.many(signed, "person", "people")
    return f"{people} signed off, {display.many(part.wards, 'ward')}"


NAMED = {
    "spread-between-people": "how far people read apart",
    "spread-between-readings": "how far readings of one stay scatter",
    "readings-unlikely-measured": "share of readings unlikely to have been measured",
}
PLACES = {"%": 0, "percentage points": 1}


def _measure(m: BesideRow, unit: str) -> tuple[str, str, str, str, str]:
    """One secondary measure: its change, interval, and how often luck among all of them would do as much."""
    name = NAMED.get(m.measure, m.measure.replace("-", " "))
    effect = m.effect
    if effect is None:
        return name, "–", "too few to tell", "", m.sentence
    change, low, high = (_signed(value, m.unit, unit) for value in (effect, m.low, m.high))
    named = f"°{unit}" if m.unit == "°C" else m.unit
    worded = f"{change} {named}", f"{low} to {high} {named}"
    return name, *worded, by_luck(m.p_holm), m.sentence


def _signed(value: float | None, stored_unit: str, unit: str) -> str:
    if value is None:
        return "–"
    if stored_unit == "°C":
        return display.signed(display.in_unit_difference(value, unit))
    return f"{value:+.{PLACES.get(stored_unit, 2)}f}".replace("-", "−")


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
    return f"about once in {display.number(round(often / 10) * 10 if often >= 20 else round(often))} reviews"


def _trend(trend: TrendRow | None, unit: str) -> str:
    if trend is None:
        return ""
    size = display.difference(trend.slope_c, unit)
    return (
        f"Before sign-off readings changed by {size} a month"
        f" (95 % interval {display.span(trend.low_c, trend.high_c, unit)}). {trend.sentence}"
    )
