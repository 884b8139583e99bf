"""The review: readings in, findings out, kept across reviews.

Computed outside, then written in one short transaction: the review, each finding's standing, and the event.
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import TypedDict

import numpy as np
from django.db.models import Min
from numpy.typing import NDArray

from browline import __version__, audit, variation
from browline.documents.encoding import plain
from browline.documents.review import ReviewDocument, stored_parts
from browline.errors import InputRefused
from browline.findings import BY_MODEL, TAKEN_BACK
from browline.findings import Finding as Observed
from browline.readings import Readings
from browline.services.review.audit_part import audit_document
from browline.services.review.chosen import Chosen, chosen_now
from browline.services.review.contract import review_document, stored_finding
from browline.services.review.supplement import make_supplement
from browline.store.counts import Counting
from browline.store.event_log import recorded
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Attendance, Cleaning, Finding, Instrument, Person, Review
from browline.store.readings import load_readings
from browline.store.withdrawing import withdraw

Progress = Callable[[int, int, str], None]


class Options(TypedDict):
    """What a review was asked: its first and last day, and whether by person."""

    since: str | None
    until: str | None
    people: bool


def review(
    book: Book,
    *,
    since: date | None = None,
    until: date | None = None,
    people: bool = False,
    actor: str = "educator",
    progress: Progress | None = None,
) -> Review:
    """Audit and fit the readings in force from `since` to `until` (both days included); returns the `Review`.

    A review narrowed to some days changes nothing that stands in the book: its findings are its own.
    """
    progress, chosen = progress or _silent, chosen_now()
    first, last = _start(since), _end(until)
    progress(0, 4, "reading the book")
    readings = load_readings(book, first, last)
    if not len(readings):
        raise _no_readings(since, until)
    counting = Counting(working_memory(), book, first, last)
    progress(1, 4, "auditing the charting")
    problem = _problem(readings, counting, chosen)
    audited = audit.solve(problem)
    results = list(audit.findings(audited))
    progress(2, 4, "fitting the joint model")
    fitted, more, limits = _fit(readings, chosen, people, audited.measured)
    results = [_about_person(f) for f in (*more, *results)]
    progress(3, 4, "writing the review")
    limits = (*limits, *audit.limits(problem), *_input_limits(readings))
    supplement = make_supplement(
        readings, fitted, results, counting, chosen, audited.measured, audit_document(problem, audited)
    )
    document = review_document(readings, fitted, results, limits, supplement, people=people)
    options: Options = {"since": _iso(since), "until": _iso(until), "people": people}
    return _store(results, options, document, actor)


def _no_readings(since: date | None, until: date | None) -> InputRefused:
    when = "" if since is None and until is None else " in these days"
    return InputRefused(
        f"The book holds no readings{when}.",
        "A review looks at charted temperatures.",
        "Import an export first, or choose other days.",
    )


def _problem(readings: Readings, counting: Counting, chosen: Chosen) -> audit.Problem:
    """What the audit is asked of this book."""
    return audit.Problem(
        readings,
        aside=tuple(audit.Aside(ward or audit.NOT_SAID, *counts) for ward, *counts in counting.aside()),
        registered=_registered_units(),
        fever_c=chosen.fever_c,
        false_share=chosen.false_share,
    )


def _fit(
    readings: Readings, chosen: Chosen, people: bool, measured: NDArray[np.float32]
) -> tuple["variation.Result | None", tuple[Observed, ...], tuple[str, ...]]:
    """The variation room's answer, its findings and its limits; nothing is fitted without patients or stays."""
    if not (readings.has("stay") or readings.has("patient")):
        return None, (), (NO_PATIENT,)
    problem = variation.Problem.from_readings(
        readings,
        reference_site=chosen.reference_site or None,
        modes=_modes(),
        cleanings=_cleanings(),
        signed_off=_signed_off(),
        measured=measured,
    )
    fitted = variation.solve(problem, tolerance_c=chosen.tolerance_c)
    results = variation.findings(fitted, false_share=chosen.false_share, people=people)
    return fitted, results, variation.limits(fitted, people=people)


NO_PATIENT = (
    "The charts do not say which readings belong to one patient, so only the charting was audited: nothing is said "
    "about how far instruments, sites or wards read from each other. The whole fleet may be off and charts alone "
    "cannot show it."
)


def _input_limits(readings: Readings) -> tuple[str, ...]:
    sentences = {
        "instrument": "The charts do not say which instrument took a reading, so no instrument is judged.",
        "person": "The charts do not say who charted, so nothing is said about technique of persons.",
        "ward": "The charts do not say the ward, so wards are not compared.",
    }
    return tuple(sentence for factor, sentence in sentences.items() if not readings.has(factor))


def _registered_units() -> dict[str, str]:
    return {name: unit for name, unit in Instrument.objects.values_list("name", "unit") if unit}


def _modes() -> dict[str, str]:
    return {name: mode for name, mode in Instrument.objects.values_list("name", "mode") if mode}


def _cleanings() -> dict[str, NDArray[np.float64]]:
    times: dict[str, list[float]] = defaultdict(list)
    for name, moment in Cleaning.objects.exclude(part="case").values_list("instrument__name", "time"):
        times[name].append(moment.timestamp() / 3600)
    return {name: np.sort(np.array(hours)) for name, hours in times.items()}


def _signed_off() -> dict[str, float]:
    """When each person was first signed off, in hours since 1970, by the pseudonym that readings know."""
    signed = Attendance.objects.filter(outcome="signed-off")
    rows = signed.values_list("person__pseudonym").annotate(first=Min("time"))
    return {str(name): moment.timestamp() / 3600 for name, moment in rows}


def _about_person(finding: Observed) -> Observed:
    """A finding about a person, under the identifier she knows; readings know the pseudonym only."""
    if finding.subject_type != "person" or not finding.subject_id.isdigit():
        return finding
    person = Person.objects.filter(pseudonym=int(finding.subject_id)).first()
    if person is None:
        return finding
    sentence = finding.sentence.replace(finding.subject_id, person.identifier)
    return replace(finding, subject_id=person.identifier, sentence=sentence)


def _store(findings: list[Observed], options: Options, document: ReviewDocument, actor: str) -> Review:
    result, supplement = stored_parts(document)
    with recorded(actor, "review", data=options) as event:
        stored = Review.objects.create(
            options=options, result=result, supplement=supplement, version=__version__
        )
        event.about(f"review {stored.pk}")
        if options["since"] or options["until"]:
            return stored
        _withdraw(document, actor)
        keys = [f.key for f in findings]
        gone = Finding.objects.exclude(key__in=keys)
        if not options["people"]:
            gone = gone.exclude(subject_type="person")
        gone.open().update(state=Finding.GONE)
        for order, finding in enumerate(findings):
            _store_finding(finding, order, stored)
    return stored


def _withdraw(document: ReviewDocument, actor: str) -> None:
    """Take back what an earlier review said of those who are not judged, or not listed, any longer."""
    open_findings = Finding.objects.open().filter(kind__in=BY_MODEL)
    if unlike := document.people_not_listed:
        withdraw(open_findings.filter(subject_type="person"), unlike.sentence, actor=actor)
    unjudged = {
        "instrument": [row.instrument for row in document.instruments if not row.judged],
        "ward": [row.ward for row in document.wards if not row.judged],
        "person": [row.person for row in document.people or () if not row.judged],
    }
    for factor, names in unjudged.items():
        withdraw(open_findings.filter(subject_type=factor, subject_id__in=names), TAKEN_BACK, actor=actor)


def _store_finding(finding: Observed, order: int, review: Review) -> None:
    """A finding seen again is still there; one that was gone, or closed and is back, is new again."""
    row = Finding.objects.filter(key=finding.key).first()
    data = plain(stored_finding(finding))
    if row is None:
        Finding.objects.create(
            key=finding.key,
            kind=finding.kind,
            subject_type=finding.subject_type,
            subject_id=finding.subject_id,
            data=data,
            first_review=review,
            last_review=review,
            order=order,
        )
        return
    row.state = _state(row, finding, review)
    row.data, row.last_review, row.order = data, review, order
    row.save()


def _state(row: Finding, finding: Observed, review: Review) -> str:
    if row.state in (row.NEW, row.STILL):
        return str(row.STILL)
    if row.state == row.CLOSED and not _began_after(finding, row, review):
        return str(row.CLOSED)
    return str(row.NEW)


def _began_after(finding: Observed, row: Finding, review: Review) -> bool:
    """Whether what is seen now began after the last outcome of the finding that stands."""
    outcome = row.outcomes.first()
    if finding.since is None or outcome is None:
        return False
    if outcome.at <= review.at:
        return bool(finding.since > outcome.at.date())
    # The clock was ahead when it was entered. It was entered after the review that last saw the finding.
    last_reading = row.last_review.document.readings.until
    return last_reading is None or bool(finding.since > date.fromisoformat(last_reading[:10]))


def _start(day: date | None) -> datetime | None:
    return datetime.combine(day, time(), UTC) if day else None


def _end(day: date | None) -> datetime | None:
    from datetime import timedelta

    return datetime.combine(day + timedelta(days=1), time(), UTC) if day else None


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _silent(done: int, total: int, message: str) -> None:
    """Progress that nobody watches."""
