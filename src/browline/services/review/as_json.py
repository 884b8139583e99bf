"""The review as the contract writes it: numbers as they came out, null where the data cannot fill them.

Quick pairs stand at 37.0 °C where they can be moved there; the supplement says where they cannot.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, cast

import numpy as np

from browline import variation
from browline.findings import Finding, not_judged
from browline.readings import Readings
from browline.services.review.rows import (
    Compared,
    Document,
    FindingRow,
    InstrumentRow,
    NotListed,
    PersonRow,
    ReadingsRow,
    SiteRow,
    TrainingRow,
    WardRow,
)
from browline.store.models import Person

if TYPE_CHECKING:
    from browline.variation.retakes import AtNormal, PairEstimate

FORMAT = "browline-review/1"


def result_of(
    readings: Readings,
    fitted: "variation.Result | None",
    found: list[Finding],
    limits: Iterable[str],
    *,
    people: bool,
) -> Document:
    """The review document. `fitted` is the variation room's result, None where nothing was fitted."""
    document: Document = {
        "format": FORMAT,
        "readings": _readings(readings, fitted),
        "reference_site": fitted.reference_site if fitted else None,
        "sites": [_site(s) for s in fitted.sites] if fitted else [],
        "spread": _spread(fitted),
        "instruments": [_instrument(e) for e in (fitted.instruments if fitted else ())],
        "wards": [_ward(e) for e in (fitted.wards if fitted else ())],
        "training": _training(readings, fitted),
        "findings": [_finding(f) for f in found],
        "limits": list(limits),
    }
    if people:
        unlike = _not_listed(fitted)
        document["people"] = [] if unlike else [_person(e) for e in (fitted.people if fitted else ())]
        document["people_not_listed"] = unlike
    return document


def _finding(finding: Finding) -> FindingRow:
    return cast(FindingRow, finding.as_json())


def _not_listed(fitted: "variation.Result | None") -> NotListed | None:
    """Why nobody is listed, where the readings do not look like people's."""
    unlike = fitted.unlike if fitted else None
    if unlike is None:
        return None
    return {"beyond": unlike.beyond, "of": unlike.of, "sentence": unlike.sentence}


TOLD_BY = (
    (("stay", "patient"), "which readings belong to one patient"),
    (("person",), "who charted which reading"),
    (("ward",), "the ward"),
    (("instrument",), "which instrument took a reading"),
)


def _not_asked(readings: Readings, fitted: "variation.Result | None") -> str:
    """Why whether training worked was not asked: exactly what is missing, no more."""
    missing = [words for factors, words in TOLD_BY if not any(readings.has(f) for f in factors)]
    if missing:
        why = f"The charts do not say {' or '.join([', '.join(missing[:-1]), missing[-1]] if missing[1:] else missing)}"
    elif fitted is None or not fitted.outcome.usable:
        why = "The readings could not be compared with each other"
    else:
        why = "The book does not say who was signed off when, or has no reading that they charted after it"
    return f"{why}, so whether training changed practice cannot be asked."


def _training(readings: Readings, fitted: "variation.Result | None") -> TrainingRow:
    answer = fitted.training if fitted else None
    if answer is None:
        return {
            "verdict": "cannot-tell",
            "effect_c": None,
            "low_c": None,
            "high_c": None,
            "measures": [],
            "sentence": _not_asked(readings, fitted),
        }
    training, _ = answer
    return {
        "verdict": training.verdict.value,
        "effect_c": training.effect_c,
        "low_c": training.low_c,
        "high_c": training.high_c,
        "measures": [
            {"measure": m.measure, "effect": m.effect, "low": m.low, "high": m.high, "unit": m.unit}
            for m in training.measures
        ],
        "sentence": training.sentence,
    }


def _readings(readings: Readings, fitted: "variation.Result | None") -> ReadingsRow:
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


def _site(s: "variation.SiteEffect") -> SiteRow:
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


def _at_37(pairs: "PairEstimate | None") -> "PairEstimate | AtNormal | None":
    """The quick pairs' answer where the reference reads 37.0 °C, else where its first readings lie."""
    return (pairs.offset_at_37 or pairs) if pairs else None


def _spread(fitted: "variation.Result | None") -> dict[str, float | None]:
    names = ("patient_sd_c", "course_sd_c", "course_hours", "instrument_sd_c", "person_sd_c", "reading_sd_c")
    return {name: getattr(fitted.spread, name) if fitted else None for name in names}


def _told(e: "variation.Effect", row: Compared) -> dict[str, object]:
    return {**row, "judged": True, "reason": None} if e.judged else not_judged(row)


def _common(e: "variation.Effect") -> Compared:
    return {
        "n": e.n,
        "comparator": e.comparator,
        "offset_c": e.offset_c,
        "low_c": e.low_c,
        "high_c": e.high_c,
    }


def _instrument(e: "variation.Effect") -> InstrumentRow:
    return cast(InstrumentRow, {"instrument": e.name, **_effect(e)})


def _effect(e: "variation.Effect") -> dict[str, object]:
    row: Compared = {
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


def _ward(e: "variation.Effect") -> WardRow:
    row: Compared = {**_common(e), "data_share": e.data_share, "confounded_with": _partners(e)}
    return cast(WardRow, {"ward": e.name, **_told(e, row)})


def _partners(e: "variation.Effect") -> list[str]:
    # A person is never named beside an instrument or a ward; only that one person's way of reading is.
    return [f"{p.factor} {p.name}" if p.factor != "person" else "a person" for p in e.confounded_with]


def _person(e: "variation.Effect") -> PersonRow:
    person = Person.objects.filter(pseudonym=int(e.name)).first()
    return cast(PersonRow, {"person": person.identifier if person else e.name, **_effect(e)})
