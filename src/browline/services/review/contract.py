"""The review as its contract writes it: numbers as they came out, None where the data cannot fill them.

Quick pairs stand at 37.0 °C where they can be moved there; the supplement says where they cannot.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from msgspec import UNSET, convert, structs

from browline import variation
from browline.documents.encoding import plain
from browline.documents.finding import ApartRow, FindingRow, StoredFinding, Subject
from browline.documents.review import (
    InstrumentRow,
    MeasureRow,
    NotListed,
    PairsRow,
    PersonRow,
    ReadingsRow,
    ReviewDocument,
    SiteRow,
    Spread,
    TrainingRow,
    WardRow,
)
from browline.documents.supplement import Supplement
from browline.findings import NOT_JUDGED, Finding
from browline.findings.finding import OFFSET
from browline.readings import Readings
from browline.store.models import Person

if TYPE_CHECKING:
    from browline.variation.retakes import AtNormal, PairEstimate

Row = TypeVar("Row", InstrumentRow, WardRow)


def review_document(
    readings: Readings,
    fitted: "variation.Result | None",
    findings: Iterable[Finding],
    limits: Iterable[str],
    supplement: Supplement,
    *,
    people: bool,
) -> ReviewDocument:
    """The review document. `fitted` is the variation room's result, None where nothing was fitted."""
    unlike = _not_listed(fitted)
    persons = fitted.people if fitted and not unlike else ()
    return ReviewDocument(
        readings=_readings(readings, fitted),
        reference_site=fitted.reference_site if fitted else None,
        sites=tuple(_site(s) for s in fitted.sites) if fitted else (),
        spread=_spread(fitted),
        instruments=tuple(_instrument(e) for e in (fitted.instruments if fitted else ())),
        wards=tuple(_ward(e) for e in (fitted.wards if fitted else ())),
        training=_training(readings, fitted),
        findings=tuple(_finding(f) for f in findings),
        limits=tuple(limits),
        people=tuple(_person(e) for e in persons) if people else UNSET,
        people_not_listed=unlike if people else UNSET,
        supplement=supplement,
    )


def _finding(finding: Finding) -> FindingRow:
    return convert(plain(stored_finding(finding)), FindingRow)


def stored_finding(finding: Finding) -> StoredFinding:
    """The finding as the book stores it: with its comparator, and what would tell its causes apart."""
    return StoredFinding(
        kind=finding.kind,
        subject=Subject(type=finding.subject_type, id=finding.subject_id),
        effect=finding.effect,
        low=finding.low,
        high=finding.high,
        unit=finding.unit,
        probability=finding.probability,
        n=finding.n,
        since=finding.since.isoformat() if finding.since else None,
        causes=tuple(
            ApartRow(cause=c.cause, probability=c.probability, tell_apart=c.tell_apart)
            for c in finding.causes
        ),
        action=finding.action,
        sentence=finding.sentence,
        comparator=finding.comparator,
    )


def _not_listed(fitted: "variation.Result | None") -> NotListed | None:
    """Why nobody is listed, where the readings do not look like people's."""
    unlike = fitted.unlike if fitted else None
    if unlike is None:
        return None
    return NotListed(beyond=unlike.beyond, of=unlike.people, sentence=unlike.sentence)


TOLD_BY = (
    (("stay", "patient"), "which readings belong to one patient"),
    (("person",), "who charted which reading"),
    (("ward",), "the ward"),
    (("instrument",), "which instrument took a reading"),
)


def _no_question(readings: Readings, fitted: "variation.Result | None") -> str:
    """Why whether training worked was not asked: exactly what is missing, no more."""
    missing = [words for factors, words in TOLD_BY if not any(readings.has(f) for f in factors)]
    if missing:
        why = f"The charts do not say {' or '.join([', '.join(missing[:-1]), missing[-1]] if missing[1:] else missing)}"
    elif fitted is None or not fitted.outcome.usable:
        why = "The readings could not be compared with each other"
    else:
        why = "The book does not say who was signed off when, or has no reading that they charted after it"
    return f"{why}, so whether training changed practice cannot be asked."


def _training(readings: Readings, fitted: "variation.Result | None") -> TrainingRow:
    answer = fitted.training if fitted else None
    if answer is None:
        return TrainingRow(verdict="cannot-tell", sentence=_no_question(readings, fitted))
    training, _ = answer
    return TrainingRow(
        verdict=training.verdict.value,
        effect_c=training.effect_c,
        low_c=training.low_c,
        high_c=training.high_c,
        measures=tuple(
            MeasureRow(measure=m.measure, effect=m.effect, low=m.low, high=m.high, unit=m.unit)
            for m in training.measures
        ),
        sentence=training.sentence,
    )


def _readings(readings: Readings, fitted: "variation.Result | None") -> ReadingsRow:
    counts = {f: len(np.unique(c[c >= 0])) for f, c in readings.codes.items()}
    return ReadingsRow(
        total=len(readings),
        used=fitted.counts.readings if fitted and fitted.outcome.usable else 0,
        patients=counts["patient"] or None,
        stays=counts["stay"] or None,
        instruments=counts["instrument"] or None,
        people=counts["person"] or None,
        wards=counts["ward"] or None,
        first=_moment(readings.time.min()) if len(readings) else None,
        until=_moment(readings.time.max()) if len(readings) else None,
    )


def _moment(hours: float) -> str:
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=round(hours * 3600))
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def _site(s: "variation.SiteEffect") -> SiteRow:
    return SiteRow(
        site=s.site,
        n=s.n,
        offset_c=s.offset_c,
        low_c=s.low_c,
        high_c=s.high_c,
        slope=s.slope,
        slope_low=s.slope_low,
        slope_high=s.slope_high,
        sd_c=s.sd_c,
        pairs=_pairs(s.pairs),
    )


def _pairs(pairs: "PairEstimate | None") -> PairsRow:
    """The quick pairs' answer where the reference reads 37.0 °C, else where its first readings lie."""
    if pairs is None:
        return PairsRow()
    level: PairEstimate | AtNormal = pairs.offset_at_37 or pairs
    return PairsRow(n=pairs.n, offset_c=level.offset_c, low_c=level.low_c, high_c=level.high_c)


def _spread(fitted: "variation.Result | None") -> Spread:
    if fitted is None:
        return Spread()
    spread = fitted.spread
    return Spread(
        patient_sd_c=spread.patient_sd_c,
        course_sd_c=spread.course_sd_c,
        course_hours=spread.course_hours,
        instrument_sd_c=spread.instrument_sd_c,
        person_sd_c=spread.person_sd_c,
        reading_sd_c=spread.reading_sd_c,
    )


def _instrument(e: "variation.Effect") -> InstrumentRow:
    row = InstrumentRow(
        instrument=e.name,
        n=e.n,
        comparator=e.comparator,
        offset_c=e.offset_c,
        low_c=e.low_c,
        high_c=e.high_c,
        probability_beyond=e.chance,
        data_share=e.data_share,
        confounded_with=_partners(e),
        drift_c_per_day=e.drift.per_day_c if e.drift else None,
        drift_low=e.drift.low_c if e.drift else None,
        drift_high=e.drift.high_c if e.drift else None,
        since=e.since.isoformat() if e.since else None,
    )
    return row if e.judged else _not_judged(row)


def _ward(e: "variation.Effect") -> WardRow:
    row = WardRow(
        ward=e.name,
        n=e.n,
        comparator=e.comparator,
        offset_c=e.offset_c,
        low_c=e.low_c,
        high_c=e.high_c,
        data_share=e.data_share,
        confounded_with=_partners(e),
    )
    return row if e.judged else _not_judged(row)


def _not_judged(row: Row) -> Row:
    """The same without what says how far it reads off, and why."""
    withheld = {name: None for name in OFFSET if name in row.__struct_fields__}
    return structs.replace(row, **withheld, judged=False, reason=NOT_JUDGED)


def _partners(e: "variation.Effect") -> tuple[str, ...]:
    # A person is never named beside an instrument or a ward; only that one person's way of reading is.
    return tuple(f"{p.factor} {p.name}" if p.factor != "person" else "a person" for p in e.confounded_with)


def _person(e: "variation.Effect") -> PersonRow:
    person = Person.objects.filter(pseudonym=int(e.name)).first()
    row = _instrument(e)
    return PersonRow(
        person=person.identifier if person else e.name,
        n=row.n,
        comparator=row.comparator,
        offset_c=row.offset_c,
        low_c=row.low_c,
        high_c=row.high_c,
        probability_beyond=row.probability_beyond,
        data_share=row.data_share,
        confounded_with=row.confounded_with,
        drift_c_per_day=row.drift_c_per_day,
        drift_low=row.drift_low,
        drift_high=row.drift_high,
        since=row.since,
        judged=row.judged,
        reason=row.reason,
    )
