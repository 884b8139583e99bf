"""A finding as the review's contract writes it, and as it stands in the book with what came of it."""

from msgspec import Struct, convert

from browline.documents.constraints import Count, Day, KindCode, Sentence, Share
from browline.documents.encoding import Number


class Subject(Struct, frozen=True, kw_only=True):
    """What a finding is about: instrument, person, ward, site or book, and its name."""

    type: str = ""
    id: str = ""


class CauseRow(Struct, frozen=True, kw_only=True):
    """A likely cause and its probability among the causes listed."""

    cause: str
    probability: Share | None = None


class FindingRow(Struct, frozen=True, kw_only=True):
    """One finding: its size with its 95 % interval in `unit`, and the next step."""

    kind: KindCode
    subject: Subject = Subject()
    effect: Number | None = None
    low: Number | None = None
    high: Number | None = None
    unit: str | None = None
    probability: Share | None = None
    n: Count
    since: Day | None = None
    causes: tuple[CauseRow, ...] = ()
    action: Sentence
    sentence: Sentence


class ApartRow(CauseRow, frozen=True, kw_only=True):
    """A likely cause, with what would tell it from the others."""

    tell_apart: str = ""


class OutcomeRow(Struct, frozen=True, kw_only=True):
    """What came of checking a finding."""

    code: str
    at: str = ""
    note: str = ""


class StoredFinding(Struct, frozen=True, kw_only=True):
    """A finding as it is stored: its `comparator` as well, and what would tell its causes apart."""

    kind: str
    subject: Subject = Subject()
    effect: Number | None = None
    low: Number | None = None
    high: Number | None = None
    unit: str | None = None
    probability: Number | None = None
    n: int
    since: str | None = None
    causes: tuple[ApartRow, ...] = ()
    action: str
    sentence: str
    comparator: str = ""


class BookFinding(StoredFinding, frozen=True, kw_only=True):
    """A finding as the book has it: `state`, `by` when something is due, why it was `withdrawn`, its outcomes.

    `look_back`: how many readings are to be looked back at, where they were counted.
    """

    state: str = "new"
    by: str = ""
    withdrawn: str = ""
    outcomes: tuple[OutcomeRow, ...] = ()
    look_back: int | None = None


def read_finding(data: object) -> BookFinding:
    """A finding from plain data, as the book or the contract has it."""
    return convert(data, BookFinding)
