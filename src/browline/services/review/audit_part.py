"""The audit as the pages and sheets read it: each ward's signals, its weeks, and its instruments per bed."""

from collections.abc import Iterator
from typing import cast

import numpy as np
from django.db.models import Count
from numpy.typing import NDArray

from browline import audit
from browline.documents.audit import AuditPart, AuditWard, AuditWeek, SignalRow, UnitRow
from browline.readings import CARES
from browline.store.models import Instrument
from browline.weeks import monday, weeks

SAME = 0.0051
"""Numbers nearer than half a hundredth are the same number on any chart."""
DAY_HOURS = 24.0

Positions = NDArray[np.int64]


def audit_document(problem: audit.Problem, audited: audit.Audit) -> AuditPart:
    """The supplement's part about the audit; see docs/reference for its fields."""
    homes = _homes()
    return AuditPart(
        fever_c=problem.fever_c,
        wards=tuple(_ward(problem, audited, w, rows, homes) for w, rows in _rows(problem)),
        units=tuple(_unit(problem, s) for s in audited.signals if s.test == "unit-pattern"),
    )


def _rows(problem: audit.Problem) -> Iterator[tuple[int, Positions]]:
    """(number, positions of its readings in time order) of each ward that has any, from one sort."""
    readings = problem.per_ward()
    order = np.split(np.argsort(problem.ward, kind="stable"), np.cumsum(readings)[:-1])
    return ((int(w), order[w]) for w in np.flatnonzero(readings))


def _ward(
    problem: audit.Problem, audited: audit.Audit, w: int, rows: Positions, homes: dict[str, int]
) -> AuditWard:
    name, care = problem.wards[w], int(problem.care[w])
    signals = audited.for_subject("ward", name)
    favourite = next((s for s in signals if s.test == "value-spike" and s.outcome == "seen"), None)
    readings = problem.readings
    return AuditWard(
        ward=name,
        care=CARES[care] if care >= 0 else None,
        n=len(rows),
        unlikely=float(1.0 - audited.measured[rows].mean(dtype=np.float64)),
        signals=tuple(signal_row(s) for s in signals if s.test != "unit-pattern"),
        favourite=favourite.label if favourite else None,
        favourite_expected=favourite.expected if favourite else None,
        weeks=_weeks(problem, audited, rows, favourite),
        instruments=float(homes.get(name, 0)) if homes else _charted(problem, rows),
        instruments_from="register" if homes else "charts",
        patients=_usual(_day(readings.time[rows]), problem.who[rows]),
    )


def signal_row(s: audit.Signal) -> SignalRow:
    """A signal as data: its numbers, its outcome, its answer in words, its sentence where it was seen."""
    return SignalRow(
        test=s.test,
        outcome=s.outcome.value,
        at=s.label,
        since=s.since.isoformat() if s.since else None,
        turned=s.turned.isoformat() if s.turned else None,
        n=cast(int, _plain(s.n)),
        effect=_plain(s.effect),
        low=_plain(s.low),
        high=_plain(s.high),
        observed=_plain(s.observed),
        expected=_plain(s.expected),
        least=_plain(s.least),
        before=_plain(s.before),
        after=_plain(s.after),
        answer=audit.outcome_in_words(s),
        sentence=audit.sentence(s) if s.outcome == "seen" else "",
        causes=tuple(c.cause for c in audit.causes(s)) if s.outcome == "seen" else (),
    )


def _plain(number: float | None) -> float | None:
    return number if number is None or isinstance(number, int) else float(number)


def _weeks(
    problem: audit.Problem, audited: audit.Audit, rows: Positions, favourite: audit.Signal | None
) -> tuple[AuditWeek, ...]:
    """Per week the readings, those at the favoured value, those without a site, and the sum that is unlikely."""
    week, first = weeks(problem.readings.time[rows])
    n = np.bincount(week)
    lost = np.bincount(week, problem.site_missing[rows])
    unlikely = np.bincount(week, 1.0 - audited.measured[rows].astype(np.float64))
    in_unit = np.bincount(week, _in_unit(problem, rows, favourite)) if favourite else None
    favoured = np.bincount(week, _equals_favourite(problem, rows, favourite)) if favourite else None
    return tuple(
        AuditWeek(
            week=monday(first, int(k)).isoformat(),
            n=int(n[k]),
            favourite=int(favoured[k]) if favoured is not None else None,
            favourite_of=int(in_unit[k]) if in_unit is not None else None,
            site_missing=int(lost[k]),
            unlikely=float(unlikely[k]),
        )
        for k in np.flatnonzero(n)
    )


def _equals_favourite(problem: audit.Problem, rows: Positions, favourite: audit.Signal) -> NDArray[np.bool_]:
    """Whether each reading stands at the favoured value, as it was charted."""
    number = float(favourite.label.split(" °")[0])
    return _in_unit(problem, rows, favourite) & (np.abs(problem.charted.value[rows] - number) < SAME)


def _in_unit(problem: audit.Problem, rows: Positions, favourite: audit.Signal) -> NDArray[np.bool_]:
    """Whether each reading was charted in the unit of the favoured value: what its share is a share of."""
    charted = problem.charted
    same: NDArray[np.bool_] = (charted.fahrenheit[rows] == favourite.label.endswith("F")) & ~charted.slipped[
        rows
    ]
    return same


def _homes() -> dict[str, int]:
    """Instruments in the register by home ward, those still in use; empty where the register names no wards."""
    listed = Instrument.objects.listed().filter(end=None).exclude(ward="")
    return dict(listed.order_by("ward").values_list("ward").annotate(Count("pk")))


def _charted(problem: audit.Problem, rows: Positions) -> float | None:
    """Different instruments charted on the ward in a usual week; None where the charts do not say."""
    readings = problem.readings
    return _usual(weeks(readings.time[rows])[0], readings.codes["instrument"][rows])


def _day(hours: NDArray[np.float64]) -> NDArray[np.int64]:
    number = np.floor(hours / DAY_HOURS).astype(np.int64)
    days: NDArray[np.int64] = number - number.min()
    return days


def _usual(period: NDArray[np.int64], code: NDArray[np.int64] | NDArray[np.int32]) -> float | None:
    """Median over periods of how many different codes each has."""
    known = code >= 0
    if not known.any():
        return None
    span = int(code.max()) + 1
    pairs = np.unique(period[known] * span + code[known])
    return float(np.median(np.bincount(pairs // span)[np.unique(pairs // span)]))


def _unit(problem: audit.Problem, s: audit.Signal) -> UnitRow:
    return UnitRow(
        type=s.subject_type,
        subject=s.subject_id,
        n=s.n,
        shows=s.label or None,
        registered=problem.registered.get(s.subject_id) or None,
        chance=s.parts["chance"],
        converted=_plain(s.effect),
        low=_plain(s.low),
        high=_plain(s.high),
        charted=s.denominator,
    )
