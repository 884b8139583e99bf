"""The cells of ward, kind of shift and role: how many of the eligible are signed off, and how sure that share is."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from browline.competency.staff import Counted
from browline.competency.status import Standing, Stands
from browline.quantities.shares import wilson

FEWEST, FEWEST_PEOPLE = 5, 10
"""Numbers under the first are suppressed for those who see no names, nor anything of cells with fewer people than the
second: of at least ten, at least five different numbers may stand behind "fewer than 5", on either side. That small
numbers are withheld is common practice, no source."""


@dataclass(frozen=True)
class Cell:
    """One ward, kind of shift and role: `signed_off` of `n` eligible, with the 95 % interval of that share."""

    ward: str
    kind: str
    role: str
    n: int
    signed_off: int
    low: float
    high: float
    overdue: int = 0
    not_yet: int = 0
    never: int = 0

    @property
    def share(self) -> float:
        """Signed off among eligible."""
        return self.signed_off / self.n


class Disclosure(StrEnum):
    """How much of a cell is disclosed to somebody who sees no names."""

    TOLD = "told"
    FEW_ARE = "few-are"
    FEW_ARE_NOT = "few-are-not"
    WITHHELD = "withheld"


@dataclass(frozen=True)
class Suppressed:
    """A cell as somebody sees it who sees no names: a number under five, on either side, is suppressed.

    `n` is None in a cell of fewer than ten; `signed_off` wherever fewer than five are, or are not, signed off: of
    those two numbers each gives the other away. No interval goes with it, since it would give the number away too.
    """

    ward: str
    kind: str
    role: str
    disclosure: Disclosure
    n: int | None = None
    signed_off: int | None = None


def cells(eligible: Sequence[Counted]) -> tuple[Cell, ...]:
    """The eligible by ward, kind of shift and role, with Wilson's interval for the share signed off."""
    standings_by_cell: dict[tuple[str, str, str], list[Standing]] = {}
    for row in eligible:
        standings_by_cell.setdefault((row.ward, row.kind, row.member.role), []).append(row.member.standing)
    return tuple(_cell(*key, standings) for key, standings in standings_by_cell.items())


def lowest_share_first(rows: Sequence[Cell]) -> tuple[Cell, ...]:
    """By the upper end of the interval, then by how many are not signed off, then by name.

    The upper end asks: how good may it be at best? So one person of one not signed off, who may be chance, does
    not stand before a ward where nine of ten are not, as it would by the share; nor does a large ward with many
    signed off stand before a small one with none, as it would by the number.
    """
    return tuple(sorted(rows, key=lambda c: (c.high, c.signed_off - c.n, c.ward, c.kind, c.role)))


def _cell(ward: str, kind: str, role: str, standings: Sequence[Standing]) -> Cell:
    stands = [s.stands for s in standings]
    n, signed_off = len(stands), sum(s.current for s in standings)
    others = (stands.count(s) for s in (Stands.OVERDUE, Stands.NOT_YET, Stands.NEVER))
    return Cell(ward, kind, role, n, signed_off, *wilson(signed_off, n), *others)


def suppressed(rows: Sequence[Cell]) -> tuple[Suppressed, ...]:
    """The cells without small numbers, ordered by what is shown alone: an order by more would tell it."""
    return tuple(sorted((_suppress(c) for c in rows), key=_best_case))


def _suppress(c: Cell) -> Suppressed:
    named = (c.ward, c.kind, c.role)
    if c.n < FEWEST_PEOPLE:
        return Suppressed(*named, Disclosure.WITHHELD)
    if c.signed_off < FEWEST:
        return Suppressed(*named, Disclosure.FEW_ARE, c.n)
    if c.n - c.signed_off < FEWEST:
        return Suppressed(*named, Disclosure.FEW_ARE_NOT, c.n)
    return Suppressed(*named, Disclosure.TOLD, c.n, c.signed_off)


def _best_case(v: Suppressed) -> tuple[float, int, str, str, str]:
    """As `lowest_share_first`, by the best that what is shown allows; cells of which nothing is shown come last."""
    if v.n is None:
        return (2.0, 0, v.ward, v.kind, v.role)
    most = {Disclosure.FEW_ARE: FEWEST - 1, Disclosure.FEW_ARE_NOT: v.n}.get(v.disclosure, v.signed_off or 0)
    return (wilson(most, v.n)[1], most - v.n, v.ward, v.kind, v.role)
