"""What a review keeps, as data: its document, its supplement and the findings, each row with its type.

A review is read back through `document_of` and `supplement_in`. One made by an earlier version may lack fields.
"""

from typing import Required, TypedDict

from browline.store.models import Review


class Compared(TypedDict, total=False):
    """How one instrument, ward or person reads against a comparator; offsets None where it is not judged."""

    n: Required[int]
    comparator: str | None
    offset_c: float | None
    low_c: float | None
    high_c: float | None
    probability_beyond: float | None
    data_share: float | None
    confounded_with: list[str] | str
    drift_c_per_day: float | None
    drift_low: float | None
    drift_high: float | None
    since: str | None
    judged: bool
    reason: str | None


class InstrumentRow(Compared):
    """An instrument that was compared."""

    instrument: str


class WardRow(Compared):
    """A ward that was compared."""

    ward: str


class PersonRow(Compared):
    """Somebody who was compared."""

    person: str


class PairsRow(TypedDict, total=False):
    """What quick pairs say of a site."""

    n: int
    offset_c: float | None
    low_c: float | None
    high_c: float | None


class SiteRow(TypedDict, total=False):
    """A site against the reference site."""

    site: Required[str]
    n: Required[int]
    offset_c: float | None
    low_c: float | None
    high_c: float | None
    slope: float | None
    slope_low: float | None
    slope_high: float | None
    sd_c: float | None
    pairs: PairsRow


class MeasureRow(TypedDict, total=False):
    """One measure of whether training changed practice."""

    measure: Required[str]
    effect: float | None
    low: float | None
    high: float | None
    unit: str
    p_holm: float | None
    sentence: str


class TrainingRow(TypedDict, total=False):
    """Whether training changed practice."""

    verdict: str
    effect_c: float | None
    low_c: float | None
    high_c: float | None
    measures: list[MeasureRow]
    sentence: str


ReadingsRow = TypedDict(
    "ReadingsRow",
    {
        "total": int,
        "used": int,
        "patients": int | None,
        "stays": int | None,
        "instruments": int | None,
        "people": int | None,
        "wards": int | None,
        "from": str | None,
        "until": str | None,
    },
)


class Subject(TypedDict):
    """What a finding is about: instrument, person, ward, site or book, and its name."""

    type: str
    id: str


class CauseRow(TypedDict, total=False):
    """A likely cause of a finding."""

    cause: Required[str]
    probability: float | None
    tell_apart: str


class OutcomeRow(TypedDict, total=False):
    """What came of checking a finding."""

    code: Required[str]
    at: str
    note: str


class FindingRow(TypedDict, total=False):
    """A finding as the contract writes it, and what the book adds to one that stands."""

    kind: Required[str]
    subject: Subject
    effect: float | None
    low: float | None
    high: float | None
    unit: str
    probability: float | None
    n: Required[int]
    since: str | None
    causes: list[CauseRow]
    action: Required[str]
    sentence: Required[str]
    comparator: str
    state: str
    by: str
    withdrawn: str
    outcomes: list[OutcomeRow]
    look_back: int


class NotListed(TypedDict):
    """Why nobody is listed: how many read beyond what people do, of how many."""

    beyond: int
    of: int
    sentence: str


class Document(TypedDict, total=False):
    """The review as the contract writes it."""

    format: str
    readings: ReadingsRow
    reference_site: str | None
    sites: list[SiteRow]
    spread: dict[str, float | None]
    instruments: list[InstrumentRow]
    wards: list[WardRow]
    training: TrainingRow
    findings: list[FindingRow]
    limits: list[str]
    people: list[PersonRow]
    people_not_listed: NotListed | None


def document_of(review: Review) -> Document:
    """The document that a review keeps."""
    kept: Document = review.result
    return kept
