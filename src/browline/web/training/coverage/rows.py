"""The rows of a coverage document as its pages and spreadsheets show them."""

from collections.abc import Iterable
from dataclasses import dataclass

from browline import display
from browline.competency.explain import NO_ROLE, NO_WARD, shift_kind_words
from browline.documents.coverage import (
    CellCounts,
    CellRow,
    CoverageDocument,
    DutyPart,
    StaffRow,
    UncountedRow,
)

FIRST_CELLS = 25


@dataclass(frozen=True)
class Row:
    """One person on duty: number (0 where no record is linked), name, where they work, and where they stand."""

    person: int
    name: str
    ward: str
    kind: str
    role: str
    stands: str


@dataclass(frozen=True)
class OnDuty:
    """Who is on duty at a moment: the three lines, those not signed off, those signed off, and the others."""

    lines: tuple[str, ...]
    opening: str
    others: tuple[Row, ...]
    signed_off: tuple[Row, ...]
    excluded: tuple[tuple[str, str], ...]
    unknown: tuple[tuple[str, str], ...]


def on_duty(document: CoverageDocument) -> OnDuty:
    """Who is on duty, with names; by ward and name, which is no rank."""
    duty, beside = document.on_duty, document.supplement
    return OnDuty(
        lines=duty.lines,
        opening=_opening(duty),
        others=_rows(zip(beside.people, duty.not_signed_off, strict=True)),
        signed_off=_rows((0, row) for row in beside.signed_off),
        excluded=_reasons(duty.excluded),
        unknown=_reasons(duty.unknown),
    )


def _rows(numbered: Iterable[tuple[int, StaffRow]]) -> tuple[Row, ...]:
    rows = (
        Row(
            person=person,
            name=row.name,
            ward=row.ward or NO_WARD,
            kind=shift_kind_words(row.shift),
            role=row.role or NO_ROLE,
            stands=row.sentence,
        )
        for person, row in numbered
    )
    return tuple(sorted(rows, key=lambda row: (row.ward, row.name)))


def _opening(duty: DutyPart) -> str:
    n, signed_off = duty.eligible, duty.signed_off
    if not n:
        return "The roster has nobody on duty then of whom the book can say whether they take temperatures."
    if signed_off == n:
        return f"All {n} on duty are signed off." if n > 1 else "The one person on duty is signed off."
    return f"{n - signed_off} of {n} on duty {'is' if n - signed_off == 1 else 'are'} not signed off."


def _reasons(rows: tuple[UncountedRow, ...]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((row.name, row.reason) for row in rows))


def cell_rows(document: CoverageDocument) -> list[dict[str, object]]:
    """The cells as the table shows them."""
    return [_cell_row(cell, counts) for cell, counts in _cells(document)]


def cell_lines(document: CoverageDocument) -> list[tuple[str | float, ...]]:
    """The cells as the spreadsheet has them: numbers, not texts."""
    return [
        (c.ward or NO_WARD, shift_kind_words(c.shift), c.role or NO_ROLE, c.eligible, c.signed_off, c.share, c.low,
         c.high, counts.never, counts.not_yet, counts.overdue)
        for c, counts in _cells(document)
    ]  # fmt: skip


def _cells(document: CoverageDocument) -> Iterable[tuple[CellRow, CellCounts]]:
    return zip(document.weeks.cells, document.supplement.counts, strict=True)


def _cell_row(c: CellRow, counts: CellCounts) -> dict[str, object]:
    return {
        "ward": c.ward or NO_WARD,
        "kind": shift_kind_words(c.shift),
        "role": c.role or NO_ROLE,
        "signed_off": f"{c.signed_off} of {c.eligible}",
        "share": display.percent(c.share),
        "span": display.percent_span(c.low, c.high),
        "others": _others(counts),
    }


def _others(c: CellCounts) -> str:
    counted = ((c.never, "never observed"), (c.not_yet, "not yet"), (c.overdue, "overdue"))
    return ", ".join(f"{n} {word}" for n, word in counted if n) or "–"
