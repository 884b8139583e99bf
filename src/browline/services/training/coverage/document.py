"""Who can do it as one document for every door: with names for those who may see them, without for everybody else."""

from collections.abc import Mapping
from datetime import date, datetime

from browline.competency.cells import Cell, suppressed
from browline.competency.coverage import EXCLUDED, UNKNOWN, Coverage, Line
from browline.competency.explain import cell_sentence, line_sentences, standing_sentence, suppressed_sentence
from browline.competency.staff import Counted
from browline.documents.coverage import (
    CellCounts,
    CellRow,
    CoverageDocument,
    CoverageSupplement,
    DutyPart,
    StaffRow,
    SuppressedCell,
    SuppressedCoverage,
    UncountedRow,
    WeeksPart,
)
from browline.services.training import coverage

Listed = list[tuple[int, StaffRow]]


def coverage_document(moment: datetime, today: date) -> CoverageDocument:
    """Who is on duty at an aware `moment`, and the cells of the four weeks around `today`, with names."""
    duty, (first, last) = coverage.tonight(moment), coverage.four_weeks(today)
    weeks = coverage.cells(first, last, today)
    names = _names(duty)
    missing = _listed(duty, names, signed_off=False)
    return CoverageDocument(
        moment=moment.isoformat(),
        on_duty=_duty(duty, missing, names),
        weeks=WeeksPart(
            first=first.isoformat(),
            last=last.isoformat(),
            lines=line_sentences(weeks),
            cells=tuple(_cell(c) for c in weeks.cells),
        ),
        supplement=CoverageSupplement(
            people=tuple(person for person, _ in missing),
            signed_off=tuple(row for _, row in _listed(duty, names, signed_off=True)),
            counts=tuple(
                CellCounts(overdue=c.overdue, not_yet=c.not_yet, never=c.never) for c in weeks.cells
            ),
        ),
    )


def coverage_without_names(today: date) -> SuppressedCoverage:
    """The cells of the four weeks around `today`, small numbers withheld; nobody's name is looked up."""
    first, last = coverage.four_weeks(today)
    return SuppressedCoverage(
        first=first.isoformat(),
        last=last.isoformat(),
        cells=tuple(
            SuppressedCell(ward=v.ward, shift=v.kind, role=v.role, sentence=suppressed_sentence(v))
            for v in suppressed(coverage.cells(first, last, today).cells)
        ),
    )


def _names(duty: Coverage) -> dict[int, str]:
    uncounted = [member for member, _ in (*duty.excluded, *duty.unknown)]
    return coverage.names(member.person for member in (*duty.people, *uncounted))


def _duty(duty: Coverage, missing: Listed, names: Mapping[int, str]) -> DutyPart:
    return DutyPart(
        lines=line_sentences(duty),
        eligible=len(duty.people),
        signed_off=duty.signed_off,
        not_signed_off=tuple(row for _, row in missing),
        excluded=_uncounted(duty.excluded, EXCLUDED, names),
        unknown=_uncounted(duty.unknown, UNKNOWN, names),
    )


def _listed(duty: Coverage, names: Mapping[int, str], *, signed_off: bool) -> Listed:
    """Number and row of those on duty who are, or are not, signed off; by ward and name, which is no rank."""
    rows = [
        (c.member.person, _person(c, names[c.member.person]))
        for c in duty.eligible
        if c.signed_off is signed_off
    ]
    return sorted(rows, key=lambda pair: (pair[1].ward, pair[1].name))


def _person(c: Counted, name: str) -> StaffRow:
    return StaffRow(
        name=name,
        ward=c.ward,
        shift=c.kind,
        role=c.member.role,
        stands=c.member.standing.stands.value,
        sentence=standing_sentence(c.member.standing),
    )


def _uncounted(line: Line, words: Mapping[str, str], names: Mapping[int, str]) -> tuple[UncountedRow, ...]:
    return tuple(UncountedRow(name=names[member.person], reason=words[reason]) for member, reason in line)


def _cell(c: Cell) -> CellRow:
    return CellRow(
        ward=c.ward,
        shift=c.kind,
        role=c.role,
        eligible=c.n,
        signed_off=c.signed_off,
        low=c.low,
        high=c.high,
        sentence=cell_sentence(c),
    )
