"""The audit as the pages and sheets read it: each ward's signals, its weeks, and its instruments per bed."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from browline import audit
from browline.readings import CARES
from browline.store.models import Instrument
from browline.weeks import monday, weeks

SAME = 0.0051
"""Numbers nearer than half a hundredth are the same number on any chart."""
DAY_HOURS = 24.0


def audit_of(problem: Any, audited: Any) -> dict[str, Any]:
    """The supplement's part about the audit, JSON-able; see docs/reference for its fields."""
    homes = _homes()
    return {
        "fever_c": problem.fever_c,
        "wards": [_ward(problem, audited, w, rows, homes) for w, rows in _rows(problem)],
        "units": [_unit(problem, s) for s in audited.signals if s.test == "unit-pattern"],
    }


def _rows(problem: Any) -> Iterator[tuple[int, Any]]:
    """(number, positions of its readings in time order) of each ward that has any, from one sort."""
    of_ward = problem.of_ward()
    order = np.split(np.argsort(problem.ward, kind="stable"), np.cumsum(of_ward)[:-1])
    return ((int(w), order[w]) for w in np.flatnonzero(of_ward))


def _ward(problem: Any, audited: Any, w: int, rows: Any, homes: dict[str, int]) -> dict[str, Any]:
    name, care = problem.wards[w], int(problem.care[w])
    signals = audited.of("ward", name)
    favourite = next((s for s in signals if s.test == "value-spike" and s.outcome == "seen"), None)
    return {
        "ward": name,
        "care": CARES[care] if care >= 0 else None,
        "n": len(rows),
        "unlikely": float(1.0 - audited.measured[rows].mean(dtype=np.float64)),
        "signals": [signal_json(s) for s in signals if s.test != "unit-pattern"],
        "favourite": favourite.at if favourite else None,
        "favourite_expected": favourite.expected if favourite else None,
        "weeks": _weeks(problem, audited, rows, favourite),
        **_at_hand(problem, rows, homes.get(name, 0) if homes else None),
    }


def signal_json(s: Any) -> dict[str, Any]:
    """A signal as data: its numbers, its outcome, its answer in words, its sentence where it was seen."""
    numbers = ("n", "effect", "low", "high", "observed", "expected", "least", "before", "after")
    return {
        "test": s.test,
        "outcome": s.outcome.value,
        "at": s.at,
        "since": s.since.isoformat() if s.since else None,
        "turned": s.turned.isoformat() if s.turned else None,
        **{name: _plain(getattr(s, name)) for name in numbers},
        "answer": audit.answer(s),
        "sentence": audit.sentence(s) if s.outcome == "seen" else "",
        "causes": list(audit.causes(s)) if s.outcome == "seen" else [],
    }


def _plain(number: Any) -> Any:
    return number if number is None or isinstance(number, int) else float(number)


def _weeks(problem: Any, audited: Any, rows: Any, favourite: Any) -> list[dict[str, Any]]:
    """Per week the readings, those at the favoured value, those without a site, and the sum that is unlikely."""
    week, first = weeks(problem.readings.time[rows])
    n = np.bincount(week)
    lost = np.bincount(week, problem.site_missing[rows])
    unlikely = np.bincount(week, 1.0 - audited.measured[rows].astype(np.float64))
    of = np.bincount(week, _in_unit(problem, rows, favourite)) if favourite else None
    at = np.bincount(week, _at(problem, rows, favourite)) if favourite else None
    return [
        {
            "week": monday(first, int(k)).isoformat(),
            "n": int(n[k]),
            "favourite": int(at[k]) if at is not None else None,
            "favourite_of": int(of[k]) if of is not None else None,
            "site_missing": int(lost[k]),
            "unlikely": float(unlikely[k]),
        }
        for k in np.flatnonzero(n)
    ]


def _at(problem: Any, rows: Any, favourite: Any) -> Any:
    """Whether each reading stands at the favoured value, as it was charted."""
    number = float(favourite.at.split(" °")[0])
    return _in_unit(problem, rows, favourite) & (np.abs(problem.charted.value[rows] - number) < SAME)


def _in_unit(problem: Any, rows: Any, favourite: Any) -> Any:
    """Whether each reading was charted in the unit of the favoured value: what its share is a share of."""
    charted = problem.charted
    return (charted.fahrenheit[rows] == favourite.at.endswith("F")) & ~charted.slipped[rows]


def _homes() -> dict[str, int]:
    """Instruments in the register by home ward, those still in use; empty where the register names no wards."""
    from django.db.models import Count

    listed = Instrument.objects.filter(listed=True, end=None).exclude(ward="")
    return dict(listed.order_by("ward").values_list("ward").annotate(Count("pk")))


def _at_hand(problem: Any, rows: Any, at_home: int | None) -> dict[str, Any]:
    """Instruments of the ward (register, else those charted in a usual week) and patients read on a usual day."""
    readings = problem.readings
    charted = _usual(weeks(readings.time[rows])[0], readings.codes["instrument"][rows])
    return {
        "instruments": charted if at_home is None else float(at_home),
        "instruments_from": "charts" if at_home is None else "register",
        "patients": _usual(_day(readings.time[rows]), problem.who[rows]),
    }


def _day(hours: Any) -> Any:
    number = np.floor(hours / DAY_HOURS).astype(np.int64)
    return number - number.min()


def _usual(period: Any, code: Any) -> float | None:
    """Median over periods of how many different codes each has."""
    known = code >= 0
    if not known.any():
        return None
    span = int(code.max()) + 1
    pairs = np.unique(period[known] * span + code[known])
    return float(np.median(np.bincount(pairs // span)[np.unique(pairs // span)]))


def _unit(problem: Any, s: Any) -> dict[str, Any]:
    return {
        "type": s.subject_type,
        "subject": s.subject_id,
        "n": s.n,
        "shows": s.at or None,
        "registered": problem.registered.get(s.subject_id) or None,
        "chance": s.parts["chance"],
        "converted": _plain(s.effect),
        "low": _plain(s.low),
        "high": _plain(s.high),
        "charted": s.of,
    }
