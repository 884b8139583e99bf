"""The model's result as data that is kept with its review: what the contract has no field for."""

from typing import Any

SPREADS = (
    "patient_sd_c",
    "course_sd_c",
    "course_hours",
    "at_site_sd_c",
    "ward_sd_c",
    "month_sd_c",
    "instrument_sd_c",
    "person_sd_c",
    "reading_sd_c",
)
GROUP = ("group", "patient_sd_c", "course_sd_c", "course_hours")


def model_of(fitted: Any) -> dict[str, Any] | None:
    """The supplement's part about the model, JSON-able; None where nothing was fitted. See docs/reference."""
    if fitted is None:
        return None
    return {
        "spread": {name: getattr(fitted.spread, name) for name in SPREADS},
        "groups": [{name: getattr(group, name) for name in GROUP} for group in fitted.spread.groups],
        "sites": [_site(s) for s in fitted.sites],
        "instruments": {e.name: _effect(e) for e in fitted.instruments if e.judged},
        "wards": {e.name: _effect(e) for e in fitted.wards if e.judged},
        "training": _training(*fitted.training) if fitted.training else None,
    }


def _site(site: Any) -> dict[str, Any]:
    pairs = site.pairs
    return {
        "site": site.site,
        "typical_c": site.typical_c,
        "disagrees": site.disagrees,
        "pairs_level_c": pairs.level_c if pairs else None,
        "pairs_at_37": bool(pairs and pairs.offset_at_37),
        "naive_c": pairs.naive_c if pairs else None,
        "minutes": pairs.minutes if pairs else None,
        "uncharted": [_moved(s) for s in pairs.sensitivity] if pairs else [],
        "checks": [_check(c) for c in site.checks],
    }


def _moved(moved: Any) -> dict[str, float]:
    return {name: getattr(moved, name) for name in ("share", "offset_c", "low_c", "high_c")}


def _check(check: Any) -> dict[str, str]:
    return {
        "sign": check.sign.value,
        "answer": check.answer.value,
        "sentence": check.sentence,
        "advice": check.advice,
    }


def _effect(effect: Any) -> dict[str, Any]:
    """Typical reading, drift, the step at cleanings, and what it cannot be told from; no person is named."""
    return {
        "typical_c": effect.typical_c,
        "chance": effect.chance,
        "drift_days": effect.drift.days if effect.drift else None,
        "drift_chance": effect.drift.chance if effect.drift else None,
        "after_cleaning_c": effect.after_cleaning_c,
        "after_cleaning_sd_c": effect.after_cleaning_sd_c,
        "earlier_c": effect.earlier_c if effect.changed else None,
        "partners": [_partner(p) for p in effect.confounded_with],
    }


def _partner(partner: Any) -> dict[str, str]:
    return {"factor": partner.factor, "name": "" if partner.factor == "person" else partner.name}


def _training(training: Any, picture: Any) -> dict[str, Any]:
    """The verdict's grounds, and the picture of the months around sign-off."""
    return {
        "comparator": training.comparator,
        "advice": training.verdict.advice,
        "wards": training.wards,
        "people_signed_off": training.people_signed_off,
        "permutation_p": training.permutation_p,
        "why": list(training.why),
        "beside": list(training.beside),
        "measures": [_measure(m) for m in training.measures],
        "around": _around(picture),
    }


def _measure(measure: Any) -> dict[str, Any]:
    names = ("measure", "effect", "low", "high", "unit", "p_holm", "sentence")
    return {name: getattr(measure, name) for name in names}


def _around(picture: Any) -> dict[str, Any]:
    """Months around sign-off, with the trend before it in words."""
    names = ("month", "pooled", "n", "people", "mean_c", "low_c", "high_c")
    trend = picture.trend
    return {
        "sentence": picture.outcome.sentence,
        "months": [{name: getattr(m, name) for name in names} for m in picture.months],
        "trend": None
        if trend is None
        else {
            "slope_c": trend.slope_c,
            "low_c": trend.low_c,
            "high_c": trend.high_c,
            "sentence": trend.sentence,
        },
    }
