"""The result in a nurse's words, as data: findings with their next step.

A subject is flagged while the expected share of false flags stays under the share chosen, and never where it
is likelier false than true. Subjects that cannot be told apart make one finding between them.
"""

from collections.abc import Iterable

from browline import display
from browline.findings import (
    IF_IN_DOUBT,
    NOT_JUDGED,
    TELL_APART,
    Finding,
    expected_false_share,
    finding_kind,
)
from browline.quantities.shares import Z95
from browline.variation.causes import causes, signs
from browline.variation.limitations import limits
from browline.variation.result import Drift, Effect, Partner, Result, chance_beyond
from browline.variation.words import degrees, interval, plain_date

LIKELIER_TRUE = 0.5
AS_SURE = (
    0.01  # a drift as sure as the offset to one in a hundred is named: it says what the offset comes from
)
OFFSETS = {"instrument": "instrument-offset", "ward": "ward-offset", "person": "technique-support"}
DRIFT, TOGETHER = "instrument-drift", "cannot-separate"

__all__ = ["describe", "findings", "limits"]


def findings(result: Result, *, false_share: float = 0.10, people: bool = False) -> tuple[Finding, ...]:
    """What cannot be trusted, surest first; people only when asked for and where they look like people.

    Empty where the fit is not usable.
    """
    if not result.outcome.usable:
        return ()
    candidates = sorted(
        _candidates(result, people and result.unlike is None), key=lambda f: -(f.probability or 0.0)
    )
    chances = [f.probability or 0.0 for f in candidates]
    count = expected_false_share(chances, false_share)
    return tuple(f for f in candidates[:count] if (f.probability or 0.0) >= LIKELIER_TRUE)


def _candidates(result: Result, people: bool) -> Iterable[Finding]:
    """One candidate for each subject, or for each knot of subjects that cannot be told apart."""
    factors = ("instrument", "ward", "person") if people else ("instrument", "ward")
    covered: set[tuple[str, str]] = _not_judged(result)
    for factor in factors:
        for effect in result.effects(factor):
            if (factor, effect.name) in covered:
                continue
            if effect.confounded_with:
                covered.update((p.factor, p.name) for p in effect.confounded_with)
                yield _cannot_separate(effect, result.tolerance_c, people)
            elif effect.drift is not None and effect.drift.chance >= effect.chance - AS_SURE:
                yield _drift(result, effect, effect.drift)
            else:
                yield _offset(result, effect)


def _not_judged(result: Result) -> set[tuple[str, str]]:
    """Subjects of which nothing is said: those not judged, and wards and people known only with such an instrument."""
    others = (*result.wards, *result.people)
    instruments = {e.name for e in result.instruments if not e.judged}
    out = {("instrument", name) for name in instruments} | {
        (e.factor, e.name) for e in others if not e.judged
    }
    return out | {(e.factor, e.name) for e in others if instruments & _instruments_beside(e)}


def _instruments_beside(effect: Effect) -> set[str]:
    return {p.name for p in effect.confounded_with if p.factor == "instrument"}


def _offset(result: Result, effect: Effect) -> Finding:
    stays = result.counts.stays > 0
    kind = finding_kind(OFFSETS[effect.factor])
    likely = causes(kind.id, signs(effect, stays))
    return Finding(
        kind=kind.id,
        subject_type=effect.factor,
        subject_id=effect.name,
        effect=effect.offset_c,
        low=effect.low_c,
        high=effect.high_c,
        unit="C",
        probability=effect.chance,
        n=effect.n,
        since=effect.since,
        causes=likely,
        action=likely[0].action or kind.action,
        sentence=_sentence(effect, stays),
        comparator=kind.comparator.format(comparator=effect.comparator),
    )


def _drift(result: Result, effect: Effect, drift: Drift) -> Finding:
    """An instrument that changes by more than the tolerance between two cleanings of its lens."""
    change, low, high = (slope * drift.days for slope in (drift.per_day_c, drift.low_c, drift.high_c))
    kind = finding_kind(DRIFT)
    sentence = kind.sentence.format(
        subject=effect.name,
        verb="sinks" if change < 0 else "rises",
        size=f"{display.decimal(abs(change), 2)} °C",
        days=display.decimal(drift.days, 0),
        per_day=f"{display.decimal(abs(drift.per_day_c), 3)} °C",
        span=_size(low, high),
        n=display.number(effect.n),
    )
    return Finding(
        kind=kind.id,
        subject_type="instrument",
        subject_id=effect.name,
        effect=change,
        low=low,
        high=high,
        unit="C",
        probability=drift.chance,
        n=effect.n,
        since=effect.since,
        causes=causes(kind.id, signs(effect, result.counts.stays > 0)),
        action=kind.action,
        sentence=sentence,
        comparator=kind.comparator,
    )


def _size(low: float, high: float) -> str:
    """The interval of a change whose direction is said beside it; with directions where it could be either."""
    if low * high <= 0:
        return interval(low, high)
    near, far = sorted((abs(low), abs(high)))
    return f"{display.decimal(near, 2)} to {display.decimal(far, 2)} °C"


def _sentence(effect: Effect, stays: bool) -> str:
    """The finding in one sentence, with what may explain it where patients are not told apart."""
    since = f" since {plain_date(effect.since)}" if effect.since else ""
    evidence = f"95 % interval {interval(effect.low_c, effect.high_c)}, {display.number(effect.n)} readings"
    kind = finding_kind(OFFSETS[effect.factor])
    sentence = kind.sentence.format(
        subject=_ward(effect.name) if effect.factor == "ward" else effect.name,
        size=degrees(effect.offset_c),
        comparator=effect.comparator,
        since=since,
        evidence=evidence,
    )
    return sentence if stays or not kind.alternative else f"{sentence.removesuffix('.')}; {kind.alternative}"


def _ward(name: str) -> str:
    return name if "ward" in name.lower() else f"ward {name}"


def _cannot_separate(effect: Effect, tolerance: float, people: bool) -> Finding:
    """One finding for subjects whose effects are known only together."""
    partner = min(effect.confounded_with, key=lambda p: p.sum_sd_c)
    low, high = partner.sum_c - Z95 * partner.sum_sd_c, partner.sum_c + Z95 * partner.sum_sd_c
    this, that = _named(effect.factor, effect.name, people), _partner(partner, people)
    kind = finding_kind(TOGETHER)
    sentence = kind.sentence.format(
        subject=f"{this[0].upper()}{this[1:]}",
        partner=that,
        size=degrees(partner.sum_c),
        span=interval(low, high),
        n=display.number(effect.n),
    )
    action = TELL_APART[frozenset((effect.factor, partner.factor))]
    if effect.factor == "instrument":
        action = f"{action} {IF_IN_DOUBT}"
    return Finding(
        kind=kind.id,
        subject_type=effect.factor,
        subject_id=effect.name,
        effect=partner.sum_c,
        low=low,
        high=high,
        unit="C",
        probability=chance_beyond(partner.sum_c, partner.sum_sd_c, tolerance),
        n=effect.n,
        since=effect.since,
        causes=(),
        action=action,
        sentence=sentence,
        comparator=kind.comparator.format(comparator=effect.comparator, partner=that),
    )


def _partner(partner: Partner, people: bool) -> str:
    return _named(partner.factor, partner.name, people)


def _named(factor: str, name: str, people: bool) -> str:
    """A subject in a sentence; a person is named only when people were asked for."""
    if factor == "person":
        return f"the technique of {name}" if people else "one person's way of reading"
    return _ward(name) if factor == "ward" else f"instrument {name}"


def describe(effect: Effect, *, tolerance_c: float = 0.3) -> str:
    """One effect in one sentence, flagged or not, *too few to tell* where the data say little of it."""
    if not effect.judged:
        return f"{effect.name}: {NOT_JUDGED}."
    wide, inside = effect.high_c - effect.low_c, effect.low_c >= -tolerance_c and effect.high_c <= tolerance_c
    open_ = effect.low_c < 0 < effect.high_c and not inside
    if wide > tolerance_c and (effect.data_share < 0.5 or open_):
        return f"{effect.name}: too few readings to tell ({effect.n})."
    chance = effect.chance
    evidence = f"95 % interval {interval(effect.low_c, effect.high_c)}, {display.number(effect.n)} readings"
    if inside:
        return f"{effect.name}: within {display.decimal(tolerance_c)} °C of {effect.comparator} ({evidence})."
    return (
        f"{effect.name}: {degrees(effect.offset_c)} against {effect.comparator} ({evidence});"
        f" chance of being beyond {display.decimal(tolerance_c)} °C {display.percent(chance)}."
    )
