"""What a row of the catalogue holds: everything that readers are to read about one kind of finding.

Words and presentation lie in the row; the numbers of a method lie in its room, in a table that a test compares with
the catalogue. Sentences are templates: the room that knows the numbers fills them in, worded by itself.
"""

from dataclasses import dataclass
from enum import StrEnum

from browline.findings.cause import Cause
from browline.findings.subjects import PERSON, Subject

FORTNIGHT = 14


class Source(StrEnum):
    """Which room answers."""

    MODEL = "joint model"
    AUDIT = "audit of charting"


class Chapter(StrEnum):
    """Where the report speaks of it. A finding about a ward is never among the instruments."""

    INSTRUMENTS = "instruments to check"
    WARDS = "wards"
    CHARTING = "how temperatures are charted"
    PEOPLE = "help with technique"


@dataclass(frozen=True, kw_only=True)
class FindingKind:
    """One kind of finding, or one test of the audit whose answer stands on the pages of a ward.

    What it is
    - `id`: as contracts and books write it; `title`: in a few words; `titled`: the same with the value it is about.
    - `source`: the room that answers; `subjects`: what it can be about, each with the outcomes that fit;
      `chapter`: of the report.
    - `finding`: the kind of finding that a sign seen becomes, most often its own; empty: a question on the ward's
      pages only. `place`: among the kinds of the contract and the actions of page 1.
    - `to_come`: in the contract, and no room makes it yet.

    What it says, as templates
    - `sentence`: the finding with its numbers. `comparator`: against what. `because`: the evidence in a sentence.
    - `size`, `quiet`: the answer where something was seen, and where not. `denominator`: what its share is a share of.
    - `directions`: above and below nought.
    - `alternative`: what else could explain it: said of an instrument where no jump back after a cleaning could be
      seen, of a ward where patients are not told apart.

    What to do
    - `causes`: innocent ones first; `action`: the next step; `due_days`: until it should be done.
    - `ask`: the question put to the ward; `help`: what its sheet asks of it, `help_place`: most useful first.
    - `committee`: the action on page 1 for all `{names}` together. `whether`: what was looked for, as an open question.
    - `briefly`: what it says about the scan on a ward, in a few words; empty where it says nothing about that.

    How it is counted
    - `unmeasured`: whether it speaks about values not having been measured. `small_counts`: whether its share counts
      readings one by one, so that fewer than five are withheld. `compared`: whether its sentence sets the ward
      against others, from ", where" on.
    """

    id: str
    title: str
    source: Source
    subjects: tuple[Subject, ...]
    chapter: Chapter = Chapter.CHARTING
    finding: str = ""
    place: int = 0
    to_come: bool = False
    titled: str = ""
    sentence: str = ""
    comparator: str = "all readings charted there"
    because: str = ""
    size: str = "{share} of {n} {of}"
    denominator: str = "readings"
    quiet: str = ""
    directions: tuple[str, str] = ("reads high", "reads low")
    alternative: str = ""
    causes: tuple[Cause, ...] = ()
    action: str = ""
    due_days: int = FORTNIGHT
    ask: str = ""
    help: str = ""
    help_place: int = 0
    committee: str = ""
    whether: str = ""
    briefly: str = ""
    unmeasured: bool = False
    small_counts: bool = False
    compared: bool = False

    def __post_init__(self) -> None:
        """Refuse a row that would be missing from a page."""
        if missing := [name for name in self._needed() if not getattr(self, name)]:
            raise ValueError(f"The kind {self.id!r} of finding says nothing for: {', '.join(missing)}")

    @property
    def name(self) -> str:
        """The kind in words, as headings and tables of the report write it."""
        return self.id.replace("-", " ")

    @property
    def flagged(self) -> bool:
        """Whether a review makes findings of this kind."""
        return self.finding == self.id

    def _needed(self) -> tuple[str, ...]:
        """Fields without which a page would break or leave the kind out."""
        needed = ["title", "subjects"]
        if self.flagged and self.subjects != (PERSON,):
            needed += ["committee", "place"]
        if not self.to_come:
            needed += ["sentence", "action"]
        if self.source is Source.AUDIT:
            needed += ["whether", "ask", "causes"]
        elif not self.to_come:
            needed += ["because"]
        return tuple(needed)
