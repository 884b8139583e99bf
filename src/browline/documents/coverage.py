"""Who can do it, as its contract writes it, format browline-coverage/1, with what pages need beside it.

People count where they work. Intervals are 95 %. A ward, a kind of shift or a role that nobody named is empty.
"""

from typing import Annotated

from msgspec import Meta, Struct, convert, field

from browline.documents.constraints import Count, Day, Sentence, Sentences, Share
from browline.documents.encoding import Plain, json_of, plain

FORMAT = "browline-coverage/1"


class StaffRow(Struct, frozen=True, kw_only=True):
    """Somebody on duty who takes temperatures: where they work, and where they stand, in a word and a sentence."""

    name: str
    ward: str
    shift: str
    role: str
    stands: str = field(name="standing")
    sentence: Sentence


class UncountedRow(Struct, frozen=True, kw_only=True):
    """Somebody who is not counted, and why."""

    name: str
    reason: Sentence


class DutyPart(Struct, frozen=True, kw_only=True):
    """Who is on duty then: `signed_off` of `eligible`, each person once; the lines add up to all who were looked at."""

    lines: Sentences = ()
    eligible: Count = 0
    signed_off: Count = 0
    not_signed_off: tuple[StaffRow, ...] = ()
    excluded: tuple[UncountedRow, ...] = ()
    unknown: tuple[UncountedRow, ...] = ()


class CellRow(Struct, frozen=True, kw_only=True):
    """A ward, kind of shift and role: `low` to `high` is the interval of the share signed off."""

    ward: str
    shift: str
    role: str
    eligible: Count
    signed_off: Count
    low: Share
    high: Share
    sentence: Sentence

    @property
    def share(self) -> float:
        """Signed off among eligible, in [0, 1]."""
        return self.signed_off / self.eligible


class WeeksPart(Struct, frozen=True, kw_only=True):
    """The four weeks: their days, and the cells with most left to see first."""

    first: Day
    last: Day
    lines: Sentences = ()
    cells: tuple[CellRow, ...] = ()


class CellCounts(Struct, frozen=True, kw_only=True):
    """Those of a cell who are not signed off, by where they stand."""

    overdue: Count = 0
    not_yet: Count = 0
    never: Count = 0


class CoverageSupplement(Struct, frozen=True, kw_only=True):
    """What pages need beside the contract.

    `people`: the book's number of each row of `not_signed_off`, and `counts` of each cell, in the order of the
    contract. `signed_off`: those on duty whose sign-off holds.
    """

    people: tuple[int, ...] = ()
    signed_off: tuple[StaffRow, ...] = ()
    counts: tuple[CellCounts, ...] = ()


class CoverageDocument(Struct, frozen=True, kw_only=True):
    """Who can do it at a `moment` and in the four weeks around a day. `supplement` is no part of the contract."""

    format: Annotated[str, Meta(extra_json_schema={"const": FORMAT})] = FORMAT
    moment: str = field(name="at")
    on_duty: DutyPart
    weeks: WeeksPart
    supplement: CoverageSupplement = CoverageSupplement()


class SuppressedCell(Struct, frozen=True, kw_only=True):
    """A cell for somebody who sees no names: small numbers are withheld from its `sentence`."""

    ward: str
    shift: str
    role: str
    sentence: Sentence


class SuppressedCoverage(Struct, frozen=True, kw_only=True):
    """The four weeks for somebody who sees no names."""

    first: Day
    last: Day
    cells: tuple[SuppressedCell, ...] = ()


def read_coverage(contract: object) -> CoverageDocument:
    """The document of a coverage that was written as JSON; raises `msgspec.ValidationError`."""
    return convert(contract, CoverageDocument)


def coverage_contract(document: CoverageDocument) -> dict[str, Plain]:
    """What the contract has of it, as plain data; raises `NotFinite`."""
    whole = plain(document)
    del whole["supplement"]
    return whole


def coverage_json(document: CoverageDocument) -> str:
    """The coverage as other programs read it, without the supplement; raises `NotFinite`."""
    return json_of(coverage_contract(document))
