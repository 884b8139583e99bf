"""What the pages need beside the contract's review: months, weeks, exclusions, what was imported, versions."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
from django.utils import timezone
from numpy.typing import NDArray

from browline import variation
from browline.documents.audit import AuditPart
from browline.documents.supplement import (
    EventRow,
    ExclusionRow,
    ImportRow,
    MonthRow,
    RequestRow,
    Supplement,
    WeekRow,
    WeeksPart,
)
from browline.findings import Finding
from browline.intake import REASONS
from browline.readings import Readings
from browline.services.imports.receipts import book_answers
from browline.services.review.chosen import Chosen
from browline.services.review.model_part import model_document
from browline.services.review.outcomes import cleared
from browline.store.counts import Counting
from browline.store.models import DatedEvent, Import

if TYPE_CHECKING:
    from browline.variation.result import Week


def make_supplement(
    readings: Readings,
    fitted: "variation.Result | None",
    findings: list[Finding],
    counting: Counting,
    chosen: Chosen,
    measured: NDArray[np.float32],
    audit: AuditPart | None = None,
) -> Supplement:
    """The supplement of a review; see docs/reference for its fields.

    `measured`: float32[n], the chance that each reading was measured, as the audit has it.
    """
    answers = book_answers()
    return Supplement(
        hospital=chosen.hospital,
        tolerance_c=chosen.tolerance_c,
        false_share=chosen.false_share,
        reviewed_at=timezone.now().strftime("%Y-%m-%dT%H:%M:%SZ"),
        days=tuple(day.isoformat() if day else None for day in counting.days()),
        fit_outcome=fitted.outcome.value if fitted else "not-fitted",
        months=_months(findings, counting, _unlikely_by_month(readings, findings, measured)),
        weeks=_weeks(fitted),
        model=model_document(fitted),
        exclusions=_exclusions(counting),
        imports=_imports(),
        can_answer=tuple(answers["can_answer"]),
        cannot_answer=tuple(answers["cannot_answer"]),
        requests=request_rows(answers["requests"]),
        events=_events(),
        versions=_versions(),
        audit=audit,
    )


def request_rows(requests: Iterable[Mapping[str, str]]) -> tuple[RequestRow, ...]:
    """The columns to ask for, as the receipts name them."""
    return tuple(RequestRow(column=r["column"], ask=r["ask"], why=r["why"]) for r in requests)


def _months(findings: list[Finding], counting: Counting, unlikely: dict[date, float]) -> tuple[MonthRow, ...]:
    """Per month the readings and those that cannot be relied on, each counted under one reason.

    A value that is no temperature counts with the readings it stands among; a reading by a flagged
    instrument or ward counts from the finding's first day; a unit put right counts unless already counted;
    of the others, as many as are unlikely to have been measured.
    """
    flagged = _flagged_by_month(findings, counting)
    months: list[MonthRow] = []
    for month, readings, slips, aside in counting.months():
        why = {
            "flagged": min(flagged.get(month, 0), readings),
            "unit": slips,
            "no-temperature": aside,
            "unlikely": round(unlikely.get(month, 0.0)),
        }
        unreliable = min(sum(why.values()), readings + aside)
        row = MonthRow(month=f"{month:%Y-%m}", readings=readings + aside, unreliable=unreliable, why=why)
        months.append(row)
    return tuple(months)


def _flagged(findings: list[Finding]) -> list[tuple[str, str, date | None]]:
    """(instrument or ward, its name, first day) of each flagged for how it reads, once."""
    sound = cleared()
    subjects = {
        (f.subject_type, f.subject_id): f.since
        for f in findings
        if f.subject_type in ("instrument", "ward") and f.unit == "C" and f.key not in sound
    }
    return [(kind, name, since) for (kind, name), since in subjects.items()]


def _flagged_by_month(findings: list[Finding], counting: Counting) -> dict[date, int]:
    return dict(counting.months_of_any(_flagged(findings)))


def _unlikely_by_month(
    readings: Readings, findings: list[Finding], measured: NDArray[np.float32]
) -> dict[date, float]:
    """First of month -> how many readings are unlikely to have been measured, those of flagged subjects apart."""
    unlikely = 1.0 - measured.astype(np.float64)
    if readings.charted is not None:
        unlikely[readings.charted.slipped] = 0.0
    for factor, name, since in _flagged(findings):
        if name not in readings.names[factor]:
            continue
        from_hour = -np.inf if since is None else (since - date(1970, 1, 1)).days * 24.0
        subject = readings.codes[factor] == readings.names[factor].index(name)
        unlikely[subject & (readings.time >= from_hour)] = 0.0
    months = (readings.time * 3600.0).astype("datetime64[s]").astype("datetime64[M]")
    first = months.min().astype(int)
    sums = np.bincount(months.astype(int) - first, unlikely)
    return {
        np.datetime64(int(first + k), "M").astype("datetime64[D]").item(): float(sums[k])
        for k in np.flatnonzero(sums)
    }


def _weeks(fitted: "variation.Result | None") -> WeeksPart:
    if fitted is None:
        return WeeksPart()
    return WeeksPart(instrument=_weeks_by_name(fitted, "instrument"), ward=_weeks_by_name(fitted, "ward"))


def _weeks_by_name(fitted: "variation.Result", factor: str) -> dict[str, tuple[WeekRow, ...]]:
    return {name: tuple(map(_week, weeks)) for name, weeks in _judged_weeks(fitted, factor)}


def _week(w: "Week") -> WeekRow:
    return WeekRow(week=w.week.isoformat(), n=w.n, mean_c=w.mean_c, low_c=w.low_c, high_c=w.high_c)


def _judged_weeks(fitted: "variation.Result", factor: str) -> list[tuple[str, tuple["Week", ...]]]:
    """The weeks of every subject that is judged."""
    without = {effect.name for effect in fitted.effects(factor) if not effect.judged}
    return [(name, weeks) for name, weeks in fitted.weeks.get(factor, {}).items() if name not in without]


def _exclusions(counting: Counting) -> tuple[ExclusionRow, ...]:
    return tuple(ExclusionRow(code=c, count=n, sentence=REASONS.get(c, c)) for c, n in counting.set_aside())


def _imports() -> tuple[ImportRow, ...]:
    return tuple(
        ImportRow(
            label=entry.label,
            kind=entry.kind,
            rows=entry.rows,
            taken=entry.taken,
            already_here=entry.already_here,
            set_aside=entry.set_aside,
            repaired=entry.repaired,
        )
        for entry in Import.objects.in_force().order_by("pk")
    )


def _events() -> tuple[EventRow, ...]:
    return tuple(
        EventRow(date=e.time.date().isoformat(), what=e.what, ward=e.ward)
        for e in DatedEvent.objects.order_by("time")
    )


def _versions() -> dict[str, str]:
    from importlib.metadata import version

    return {name: version(name) for name in ("browline", "numpy", "scipy", "duckdb", "django")}
