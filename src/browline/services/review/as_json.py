"""The review as the contract writes it: numbers as they came out, null where the data cannot fill them.

Quick pairs stand at 37.0 °C where they can be moved there; the supplement says where they cannot.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

from browline.findings import not_judged
from browline.store.models import Person

FORMAT = "browline-review/1"


def result_of(readings: Any, fitted: Any, found: list[Any], limits: Any, *, people: bool) -> dict[str, Any]:
    """The review document. `fitted` is the variation room's result, None where nothing was fitted."""
    document = {
        "format": FORMAT,
        "readings": _readings(readings, fitted),
        "reference_site": fitted.reference_site if fitted else None,
        "sites": [_site(s) for s in fitted.sites] if fitted else [],
        "spread": _spread(fitted),
        "instruments": [_effect(e, "instrument") for e in (fitted.instruments if fitted else ())],
        "wards": [_ward(e) for e in (fitted.wards if fitted else ())],
        "training": _training(fitted.training if fitted else None, readings, fitted),
        "findings": [f.as_json() for f in found],
        "limits": list(limits),
    }
    if people:
        document |= _people(fitted)
    return document


def _people(fitted: Any) -> dict[str, Any]:
    """Everybody compared; nobody, and why, where the readings do not look like people's."""
    unlike = fitted.unlike if fitted else None
    if unlike is None:
        return {"people": [_person(e) for e in (fitted.people if fitted else ())], "people_not_listed": None}
    return {
        "people": [],
        "people_not_listed": {"beyond": unlike.beyond, "of": unlike.of, "sentence": unlike.sentence},
    }


TOLD_BY = (
    (("stay", "patient"), "which readings belong to one patient"),
    (("person",), "who charted which reading"),
    (("ward",), "the ward"),
    (("instrument",), "which instrument took a reading"),
)


def _not_asked(readings: Any, fitted: Any) -> str:
    """Why whether training worked was not asked: exactly what is missing, no more."""
    missing = [words for factors, words in TOLD_BY if not any(readings.has(f) for f in factors)]
    if missing:
        why = f"The charts do not say {' or '.join([', '.join(missing[:-1]), missing[-1]] if missing[1:] else missing)}"
    elif fitted is None or not fitted.outcome.usable:
        why = "The readings could not be compared with each other"
    else:
        why = "The book does not say who was signed off when, or has no reading that they charted after it"
    return f"{why}, so whether training changed practice cannot be asked."


def _training(answer: Any, readings: Any, fitted: Any) -> dict[str, Any]:
    if answer is None:
        numbers = dict.fromkeys(("effect_c", "low_c", "high_c"))
        return {
            "verdict": "cannot-tell",
            **numbers,
            "measures": [],
            "sentence": _not_asked(readings, fitted),
        }
    training, _ = answer
    names = ("measure", "effect", "low", "high", "unit")
    return {
        "verdict": training.verdict.value,
        **{name: getattr(training, name) for name in ("effect_c", "low_c", "high_c")},
        "measures": [{name: getattr(m, name) for name in names} for m in training.measures],
        "sentence": training.sentence,
    }


def _readings(readings: Any, fitted: Any) -> dict[str, Any]:
    import numpy as np

    seen = {f: len(np.unique(c[c >= 0])) for f, c in readings.codes.items()}
    used = fitted.counts.readings if fitted and fitted.outcome.usable else 0
    return {
        "total": len(readings),
        "used": used,
        "patients": seen["patient"] or None,
        "stays": seen["stay"] or None,
        "instruments": seen["instrument"] or None,
        "people": seen["person"] or None,
        "wards": seen["ward"] or None,
        "from": _moment(readings.time.min()) if len(readings) else None,
        "until": _moment(readings.time.max()) if len(readings) else None,
    }


def _moment(hours: float) -> str:
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=round(hours * 3600))
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def _site(s: Any) -> dict[str, Any]:
    pairs = s.pairs
    at = _at_37(pairs)
    return {
        "site": s.site,
        "n": s.n,
        "offset_c": s.offset_c,
        "low_c": s.low_c,
        "high_c": s.high_c,
        "slope": s.slope,
        "slope_low": s.slope_low,
        "slope_high": s.slope_high,
        "sd_c": s.sd_c,
        "pairs": {
            "n": pairs.n if pairs else 0,
            "offset_c": at.offset_c if at else None,
            "low_c": at.low_c if at else None,
            "high_c": at.high_c if at else None,
        },
    }


def _at_37(pairs: Any) -> Any:
    """The quick pairs' answer where the reference reads 37.0 °C, else where its first readings lie."""
    return (pairs.offset_at_37 or pairs) if pairs else None


def _spread(fitted: Any) -> dict[str, Any]:
    names = ("patient_sd_c", "course_sd_c", "course_hours", "instrument_sd_c", "person_sd_c", "reading_sd_c")
    return {name: getattr(fitted.spread, name) if fitted else None for name in names}


def _told(e: Any, row: dict[str, Any]) -> dict[str, Any]:
    return {**row, "judged": True, "reason": None} if e.judged else not_judged(row)


def _common(e: Any) -> dict[str, Any]:
    return {
        "n": e.n,
        "comparator": e.comparator,
        "offset_c": e.offset_c,
        "low_c": e.low_c,
        "high_c": e.high_c,
    }


def _effect(e: Any, name: str) -> dict[str, Any]:
    row = {
        name: e.name,
        **_common(e),
        "probability_beyond": e.chance,
        "data_share": e.data_share,
        "confounded_with": _partners(e),
        "drift_c_per_day": e.drift.per_day_c if e.drift else None,
        "drift_low": e.drift.low_c if e.drift else None,
        "drift_high": e.drift.high_c if e.drift else None,
        "since": e.since.isoformat() if e.since else None,
    }
    return _told(e, row)


def _ward(e: Any) -> dict[str, Any]:
    row = {"ward": e.name, **_common(e), "data_share": e.data_share, "confounded_with": _partners(e)}
    return _told(e, row)


def _partners(e: Any) -> list[str]:
    # A person is never named beside an instrument or a ward; only that one person's way of reading is.
    return [f"{p.factor} {p.name}" if p.factor != "person" else "a person" for p in e.confounded_with]


def _person(e: Any) -> dict[str, Any]:
    person = Person.objects.filter(pseudonym=int(e.name)).first()
    return {**_effect(e, "person"), "person": person.identifier if person else e.name}
