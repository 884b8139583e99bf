"""The review as its contract writes it, format browline-review/1, with the supplement that pages and paper read.

Offsets are at 37.0 °C in °C, positive where it reads high against its comparator; intervals are 95 %.
"""

from typing import Annotated

from msgspec import UNSET, Meta, Struct, UnsetType, ValidationError, convert, field

from browline.documents.constraints import (
    Count,
    Moment,
    Sentence,
    Sentences,
    Share,
    SiteCode,
    Size,
    VerdictCode,
)
from browline.documents.encoding import Number, Plain, json_of, plain
from browline.documents.finding import FindingRow
from browline.documents.supplement import Supplement
from browline.errors import InputRefused

FORMAT = "browline-review/1"


class ReadingsRow(Struct, frozen=True, kw_only=True):
    """What was read: counts None where the charts do not say, times in UTC."""

    total: Count = 0
    used: Count = 0
    patients: Count | None = None
    stays: Count | None = None
    instruments: Count | None = None
    people: Count | None = None
    wards: Count | None = None
    first: Moment | None = field(name="from", default=None)
    until: Moment | None = None


class PairsRow(Struct, frozen=True, kw_only=True):
    """What quick pairs, two sites of one patient within minutes, say of a site."""

    n: Count = 0
    offset_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None


class SiteRow(Struct, frozen=True, kw_only=True):
    """A site against the reference site; `slope`: its rise for one degree of the reference."""

    site: SiteCode
    n: Count
    offset_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None
    slope: Number | None = None
    slope_low: Number | None = None
    slope_high: Number | None = None
    sd_c: Size | None = None
    pairs: PairsRow = PairsRow()


class Spread(Struct, frozen=True, kw_only=True):
    """Standard deviations in °C by source, and the hours over which a stay's course is alike."""

    patient_sd_c: Size | None = None
    course_sd_c: Size | None = None
    course_hours: Size | None = None
    instrument_sd_c: Size | None = None
    person_sd_c: Size | None = None
    reading_sd_c: Size | None = None


class InstrumentRow(Struct, frozen=True, kw_only=True):
    """How an instrument reads against its comparator; the offset is None where it is not judged."""

    instrument: str
    n: Count
    comparator: str | None = None
    offset_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None
    probability_beyond: Share | None = None
    data_share: Share | None = None
    confounded_with: tuple[str, ...] | None = ()
    drift_c_per_day: Number | None = None
    drift_low: Number | None = None
    drift_high: Number | None = None
    since: str | None = None
    judged: bool = True
    reason: str | None = None


class PersonRow(Struct, frozen=True, kw_only=True):
    """The same of somebody who charts, asked for by name."""

    person: str
    n: Count
    comparator: str | None = None
    offset_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None
    probability_beyond: Share | None = None
    data_share: Share | None = None
    confounded_with: tuple[str, ...] | None = ()
    drift_c_per_day: Number | None = None
    drift_low: Number | None = None
    drift_high: Number | None = None
    since: str | None = None
    judged: bool = True
    reason: str | None = None


class WardRow(Struct, frozen=True, kw_only=True):
    """A ward against the others; the offset is None where it is not judged."""

    ward: str
    n: Count
    comparator: str | None = None
    offset_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None
    data_share: Share | None = None
    confounded_with: tuple[str, ...] | None = ()
    judged: bool = True
    reason: str | None = None


class MeasureRow(Struct, frozen=True, kw_only=True):
    """One measure of whether training changed practice, in its `unit`."""

    measure: str
    effect: Number | None = None
    low: Number | None = None
    high: Number | None = None
    unit: str = ""


class TrainingRow(Struct, frozen=True, kw_only=True):
    """Whether training changed practice."""

    verdict: VerdictCode = ""
    effect_c: Number | None = None
    low_c: Number | None = None
    high_c: Number | None = None
    measures: tuple[MeasureRow, ...] = ()
    sentence: str = ""


class NotListed(Struct, frozen=True, kw_only=True):
    """Why nobody is listed: how many read beyond what people do, `of` how many."""

    beyond: Count
    of: Count
    sentence: Sentence


class ReviewDocument(Struct, frozen=True, kw_only=True):
    """One review. `people` and `people_not_listed` only where results by person were asked for.

    `supplement` is no part of the contract; JSON for other programs is written without it.
    """

    format: Annotated[str, Meta(extra_json_schema={"const": FORMAT})] = FORMAT
    readings: ReadingsRow = ReadingsRow()
    reference_site: SiteCode | None = None
    sites: tuple[SiteRow, ...] = ()
    spread: Spread | None = None
    instruments: tuple[InstrumentRow, ...] = ()
    wards: tuple[WardRow, ...] = ()
    training: TrainingRow | None = None
    findings: tuple[FindingRow, ...] = ()
    limits: Sentences = ()
    people: tuple[PersonRow, ...] | UnsetType | None = UNSET
    people_not_listed: NotListed | UnsetType | None = UNSET
    supplement: Supplement = Supplement()

    def instrument(self, name: str) -> InstrumentRow | None:
        """The instrument of this name; None where it was not compared."""
        return next((row for row in self.instruments if row.instrument == name), None)

    def ward(self, name: str) -> WardRow | None:
        """The ward of this name; None where it was not compared."""
        return next((row for row in self.wards if row.ward == name), None)


def read_review(contract: object, supplement: object = None) -> ReviewDocument:
    """The document of a stored review: its contract and its supplement as plain data.

    Raises `InputRefused` where what is stored is no review that browline wrote.
    """
    if not isinstance(contract, dict):
        raise TypeError(f"A review is an object with named fields; {type(contract).__name__} came.")
    try:
        return convert({**contract, "supplement": supplement or {}}, ReviewDocument)
    except ValidationError as fault:
        raise InputRefused(
            f"A stored review cannot be read: {fault}.",
            "Wanted is what browline writes (docs/schema/review.json).",
            "The readings are untouched: review them again, and the new review stands in its place.",
        ) from fault


def review_json(document: ReviewDocument) -> str:
    """The review as other programs read it: the contract without the supplement; raises `NotFinite`."""
    return json_of(stored_parts(document)[0])


def stored_parts(document: ReviewDocument) -> tuple[dict[str, Plain], dict[str, Plain]]:
    """(contract, supplement) as plain data to store; raises `NotFinite`."""
    whole = plain(document)
    supplement = whole.pop("supplement")
    assert isinstance(supplement, dict)
    return whole, supplement
