"""Answers to questioned readings as their contract writes them, format browline-recheck/2.

Cases and readings are counted from 1, as a reader counts. Probabilities are from 0 to 1, temperatures in °C. Where no
probability is given, every field of the model is None, and `withheld` says why.
"""

from msgspec import Struct

from browline.documents.constraints import Count, Sentence, Sentences, Share, SiteCode
from browline.documents.encoding import Number, Plain, json_of, plain

FORMAT = "browline-recheck/2"


class CoreRow(Struct, frozen=True, kw_only=True):
    """The core at one moment: mean and 95 % interval, probabilities at or over the fever line and under the low one."""

    mean_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None
    fever: Share | None = None
    low: Share | None = None


class QuestionedReading(Struct, frozen=True, kw_only=True):
    """A reading of the case: the core when it was taken, reading less core, the probability that it misled, and why."""

    value_c: Number
    site: SiteCode
    minutes_ago: Number
    instrument: str = ""
    prepared: bool = False
    used: bool
    core: CoreRow = CoreRow()
    by_c: Number | None = None
    misled: Share | None = None
    causes: dict[str, Share] = {}
    sentence: str = ""


class StoryRow(Struct, frozen=True, kw_only=True):
    """One way in which the readings hang together; `site` and `instrument` are empty where none is meant."""

    what: str
    site: str
    instrument: str
    readings: tuple[int, ...]
    chance: Share
    shared: bool
    sentence: str


class StepRow(Struct, frozen=True, kw_only=True):
    """Something to do next; `drop` in expected loss, and `barred`: why it must not be done."""

    kind: str
    site: SiteCode
    wait_minutes: Number
    fever_from_c: Number | None = None
    no_fever_to_c: Number | None = None
    barred: str = ""
    drop: Number | None = None
    settles: Share | None = None
    do: Sentence
    heed: str = ""
    wait: str = ""
    brings: str = ""


class WithheldRow(Struct, frozen=True, kw_only=True):
    """Why no probability is given: words for programs, and the sentence."""

    because: tuple[str, ...]
    says: Sentence


class SourceRow(Struct, frozen=True, kw_only=True):
    """Where a figure comes from."""

    says: Sentence
    of_the_book: bool


class AnswerSupplement(Struct, frozen=True, kw_only=True):
    """Sentences about the core and about the two lines, which pages and terminal show beside the contract."""

    core: str = ""
    lines: str = ""


class AnswerDocument(Struct, frozen=True, kw_only=True):
    """One answer. `escalate` is read first, then `emergencies`. The `supplement` is no part of the contract."""

    escalate: Sentence
    emergencies: tuple[str, ...] = ()
    says: str
    act_on: str
    act_on_readings: tuple[int, ...] = ()
    withheld: WithheldRow | None = None
    not_used: str = ""
    act_as: str | None = None
    safer: int | None = None
    outcome: str
    loss: Number | None = None
    left_out: Share | None = None
    core: CoreRow = CoreRow()
    fever_c: Number
    low_c: Number
    readings: tuple[QuestionedReading, ...] = ()
    stories: tuple[StoryRow, ...] = ()
    steps: tuple[StepRow, ...] = ()
    notes: tuple[str, ...] = ()
    sources: tuple[SourceRow, ...] = ()
    cautions: Sentences = ()
    supplement: AnswerSupplement = AnswerSupplement()

    @property
    def reading_sentences(self) -> tuple[str, ...]:
        """A sentence for each reading that is used, in their order."""
        return tuple(reading.sentence for reading in self.readings if reading.used)


class CaseRow(Struct, frozen=True, kw_only=True):
    """A case, counted from 1, with its answer, or why it was refused."""

    case: Count
    refused: str | None = None
    answer: AnswerDocument | None = None


class RecheckDocument(Struct, frozen=True, kw_only=True):
    """Every case in the order asked."""

    format: str = FORMAT
    cases: tuple[CaseRow, ...] = ()


def recheck_contract(document: RecheckDocument) -> dict[str, Plain]:
    """The document as plain data without the supplements; raises `NotFinite`."""
    return {"format": document.format, "cases": [_contract(case) for case in document.cases]}


def recheck_json(document: RecheckDocument) -> str:
    """The answers as other programs read them; raises `NotFinite`."""
    return json_of(recheck_contract(document))


def _contract(case: CaseRow) -> dict[str, Plain]:
    row = plain(case)
    if isinstance(answer := row["answer"], dict):
        del answer["supplement"]
    return row
