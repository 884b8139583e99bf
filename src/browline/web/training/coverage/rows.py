"""What the pages show of a coverage: rows with names for those who may see them, cells without for the others."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from browline import display
from browline.competency.cells import Cell
from browline.competency.coverage import EXCLUDED, UNKNOWN, Coverage
from browline.competency.explain import NO_ROLE, NO_WARD, line_sentences, shift_kind_words, standing_sentence
from browline.competency.staff import Counted, Member
from browline.services.training import coverage

FIRST_CELLS = 25


@dataclass(frozen=True)
class Row:
    """One person on duty: number, name, where they work, and where they stand."""

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


def on_duty(staffing: Coverage) -> OnDuty:
    """The coverage of a moment with names; by ward and name, which is no rank."""
    people = [c.member.person for c in staffing.eligible]
    names = coverage.names(
        [*people, *(m.person for line in (staffing.excluded, staffing.unknown) for m, _ in line)]
    )
    rows = [(c.signed_off, _row(c, names)) for c in staffing.eligible]
    rows.sort(key=lambda pair: (pair[1].ward, pair[1].name))
    return OnDuty(
        lines=line_sentences(staffing),
        opening=_opening(staffing),
        others=tuple(row for signed_off, row in rows if not signed_off),
        signed_off=tuple(row for signed_off, row in rows if signed_off),
        excluded=_reasons(staffing.excluded, EXCLUDED, names),
        unknown=_reasons(staffing.unknown, UNKNOWN, names),
    )


def _row(covered: Counted, names: Mapping[int, str]) -> Row:
    member = covered.member
    return Row(
        person=member.person,
        name=names[member.person],
        ward=covered.ward or NO_WARD,
        kind=shift_kind_words(covered.kind),
        role=member.role or NO_ROLE,
        stands=standing_sentence(member.standing),
    )


def _opening(staffing: Coverage) -> str:
    n, signed_off = len(staffing.people), staffing.signed_off
    if not n:
        return "The roster has nobody on duty then of whom the book can say whether they take temperatures."
    if signed_off == n:
        return f"All {n} on duty are signed off." if n > 1 else "The one person on duty is signed off."
    return f"{n - signed_off} of {n} on duty {'is' if n - signed_off == 1 else 'are'} not signed off."


def _reasons(
    line: Sequence[tuple[Member, str]], words: Mapping[str, str], names: Mapping[int, str]
) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((names[m.person], words[reason]) for m, reason in line))


def cell_row(c: Cell) -> dict[str, object]:
    """One cell as the table shows it."""
    return {
        "ward": c.ward or NO_WARD,
        "kind": shift_kind_words(c.kind),
        "role": c.role or NO_ROLE,
        "signed_off": f"{c.signed_off} of {c.n}",
        "share": display.percent(c.share),
        "span": display.percent_span(c.low, c.high),
        "others": _others(c),
    }


def _others(c: Cell) -> str:
    counted = ((c.never, "never observed"), (c.not_yet, "not yet"), (c.overdue, "overdue"))
    return ", ".join(f"{n} {word}" for n, word in counted if n) or "–"
