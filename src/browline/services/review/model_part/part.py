"""The model's result as the part of a review's supplement that is about the model."""

from typing import TYPE_CHECKING

from browline import variation
from browline.documents.model import (
    AroundMonth,
    AroundPart,
    BesideRow,
    CheckRow,
    EffectPart,
    GroupRow,
    ModelPart,
    ModelSpread,
    PartnerRow,
    SitePart,
    TrainingPart,
    TrendRow,
    UnchartedRow,
)

if TYPE_CHECKING:
    from browline.variation.result import GroupSpread, Partner
    from browline.variation.retakes import Check, Sensitivity
    from browline.variation.training.event_time import EventMonth, EventTime, Trend
    from browline.variation.training.measures import Measure
    from browline.variation.training.verdict import Training


def model_document(fitted: "variation.Result | None") -> ModelPart | None:
    """The supplement's part about the model; None where nothing was fitted. See docs/reference."""
    if fitted is None:
        return None
    return ModelPart(
        spread=_spread(fitted.spread),
        groups=tuple(_group(group) for group in fitted.spread.groups),
        sites=tuple(_site(s) for s in fitted.sites),
        instruments={e.name: _effect(e) for e in fitted.instruments if e.judged},
        wards={e.name: _effect(e) for e in fitted.wards if e.judged},
        training=_training(*fitted.training) if fitted.training else None,
    )


def _spread(spread: "variation.Spread") -> ModelSpread:
    return ModelSpread(
        patient_sd_c=spread.patient_sd_c,
        course_sd_c=spread.course_sd_c,
        course_hours=spread.course_hours,
        at_site_sd_c=spread.at_site_sd_c,
        ward_sd_c=spread.ward_sd_c,
        month_sd_c=spread.month_sd_c,
        instrument_sd_c=spread.instrument_sd_c,
        person_sd_c=spread.person_sd_c,
        reading_sd_c=spread.reading_sd_c,
    )


def _group(group: "GroupSpread") -> GroupRow:
    return GroupRow(
        group=group.group,
        patient_sd_c=group.patient_sd_c,
        course_sd_c=group.course_sd_c,
        course_hours=group.course_hours,
    )


def _site(site: "variation.SiteEffect") -> SitePart:
    pairs = site.pairs
    return SitePart(
        site=site.site,
        typical_c=site.typical_c,
        disagrees=site.disagrees,
        pairs_level_c=pairs.level_c if pairs else None,
        pairs_at_37=bool(pairs and pairs.offset_at_37),
        naive_c=pairs.naive_c if pairs else None,
        minutes=pairs.minutes if pairs else None,
        uncharted=tuple(_uncharted(s) for s in pairs.sensitivity) if pairs else (),
        checks=tuple(_check(c) for c in site.checks),
    )


def _uncharted(row: "Sensitivity") -> UnchartedRow:
    return UnchartedRow(share=row.share, offset_c=row.offset_c, low_c=row.low_c, high_c=row.high_c)


def _check(check: "Check") -> CheckRow:
    return CheckRow(
        sign=check.sign.value, answer=check.answer.value, sentence=check.sentence, advice=check.advice
    )


def _effect(effect: "variation.Effect") -> EffectPart:
    """Typical reading, drift, the step at cleanings, and what it cannot be told from; no person is named."""
    return EffectPart(
        typical_c=effect.typical_c,
        chance=effect.chance,
        drift_days=effect.drift.days if effect.drift else None,
        drift_chance=effect.drift.chance if effect.drift else None,
        after_cleaning_c=effect.after_cleaning_c,
        after_cleaning_sd_c=effect.after_cleaning_sd_c,
        earlier_c=effect.earlier_c if effect.changed else None,
        partners=tuple(_partner(p) for p in effect.confounded_with),
    )


def _partner(partner: "Partner") -> PartnerRow:
    return PartnerRow(factor=partner.factor, name="" if partner.factor == "person" else partner.name)


def _training(training: "Training", picture: "EventTime") -> TrainingPart:
    """The verdict's grounds, and the picture of the months around sign-off."""
    return TrainingPart(
        comparator=training.comparator,
        advice=training.verdict.advice,
        wards=training.wards,
        people_signed_off=training.people_signed_off,
        permutation_p=training.permutation_p,
        why=tuple(training.why),
        beside=tuple(training.beside),
        measures=tuple(_measure(m) for m in training.measures),
        around=_around(picture),
    )


def _measure(measure: "Measure") -> BesideRow:
    return BesideRow(
        measure=measure.measure,
        effect=measure.effect,
        low=measure.low,
        high=measure.high,
        unit=measure.unit,
        p_holm=measure.p_holm,
        sentence=measure.sentence,
    )


def _month(month: "EventMonth") -> AroundMonth:
    return AroundMonth(
        month=month.month,
        pooled=month.pooled,
        n=month.n,
        people=month.people,
        mean_c=month.mean_c,
        low_c=month.low_c,
        high_c=month.high_c,
    )


def _around(picture: "EventTime") -> AroundPart:
    """Months around sign-off, with the trend before it in words."""
    return AroundPart(
        sentence=picture.outcome.sentence,
        months=tuple(_month(m) for m in picture.months),
        trend=_trend(picture.trend) if picture.trend else None,
    )


def _trend(trend: "Trend") -> TrendRow:
    return TrendRow(slope_c=trend.slope_c, low_c=trend.low_c, high_c=trend.high_c, sentence=trend.sentence)
