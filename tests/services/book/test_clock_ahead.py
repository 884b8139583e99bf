"""What was entered while the computer's clock stood a year ahead hides nothing that is entered later."""

from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from browline.store.models import (
    Check,
    Cleaning,
    Event,
    Finding,
    Import,
    Instrument,
    Job,
    Pass,
    Review,
    SessionPlan,
    Sighting,
    last_whole_review,
)

YEAR = timedelta(days=365)
FOUND = {
    "kind": "instrument-offset", "subject": {"type": "instrument", "id": "FS-07"}, "action": "Check it.",
    "sentence": "FS-07 reads low.", "causes": [], "probability": 0.97, "n": 300, "since": "2026-03-02",
}  # fmt: skip


@pytest.fixture
def a_year_ahead(monkeypatch):
    """Do something while the clock stands a year ahead."""

    @contextmanager
    def ahead():
        now = timezone.now
        with monkeypatch.context() as patch:
            patch.setattr(timezone, "now", lambda: now() + YEAR)
            yield

    return ahead


def a_review(**facts):
    """A review with its event, as the duty writes both."""
    told = {"options": {}, "result": {"readings": {"until": "2026-06-28T10:00:00+00:00"}}, "version": "0"}
    made = Review.objects.create(**told | facts)
    Event.objects.create(actor="ines", verb="review", subject=f"review {made.pk}")
    return made


def a_finding(review):
    """FS-07, found by this review."""
    return Finding.objects.create(
        key="instrument-offset|instrument|FS-07", kind=FOUND["kind"], subject_type="instrument", subject_id="FS-07",
        data=FOUND, first_review=review, last_review=review,
    )  # fmt: skip


def an_import():
    """An import of a file that holds nothing, with its event."""
    made = Import.objects.create(kind="readings", rows=1, taken=1, already_here=0, set_aside=0, repaired=0)
    Event.objects.create(actor="ines", verb="import", data={"imports": [made.pk]})
    return made


PLAIN = [
    (Event, {"actor": "ines", "verb": "set"}),
    (Job, {"verb": "import"}),
    (Review, {"version": "0"}),
    (SessionPlan, {"actor": "ines"}),
    (Import, {"rows": 0, "taken": 0, "already_here": 0, "set_aside": 0, "repaired": 0}),
    (Pass, {"role": "viewer", "until": datetime(2099, 1, 1, tzinfo=UTC), "actor": "ines"}),
]


@pytest.mark.parametrize(("model", "facts"), PLAIN, ids=lambda part: getattr(part, "__name__", ""))
def test_the_latest_row_is_the_one_written_last(book, a_year_ahead, model, facts):
    digest = {"digest": "1"} if model is Pass else {}
    with a_year_ahead():
        model.objects.create(**facts, **digest)
    later = model.objects.create(**facts, **({"digest": "2"} if model is Pass else {}))
    assert model.objects.first() == later


def test_the_last_review_is_the_one_made_last(book, a_year_ahead):
    with a_year_ahead():
        a_review()
    later = a_review()
    assert last_whole_review() == later


def test_the_last_outcome_says_the_next_step(book, a_year_ahead):
    from browline.services.review.outcomes import cleared, next_step, record_outcome
    from browline.services.review.stored_report import book_findings

    review = a_review()
    finding = a_finding(review)
    with a_year_ahead():
        record_outcome(finding.pk, "within-limits", "", "ines")
    assert cleared()
    record_outcome(finding.pk, "lens-cleaned", "", "ines")
    assert not cleared()
    assert next_step(finding) != FOUND["action"]
    (told,) = book_findings(review)
    assert [o.code for o in told.outcomes] == ["within-limits", "lens-cleaned"]


def test_files_that_came_after_a_review_are_counted(book, a_year_ahead):
    from browline.services.book.event_order import imports_after

    an_import()
    with a_year_ahead():
        review = a_review()
    assert imports_after(review) == 0
    an_import()
    assert imports_after(review) == 1


def test_an_instrument_cleaned_after_a_review_is_known_no_longer(book, a_year_ahead):
    from browline.services.questioned import book_instruments
    from browline.services.review.outcomes import record_outcome

    row = {
        "instrument": "FS-07",
        "n": 1234,
        "offset_c": -0.4,
        "low_c": -0.5,
        "high_c": -0.3,
        "comparator": "others",
    }
    with a_year_ahead():
        review = a_review(result={"instruments": [row]})
        finding = a_finding(review)
    assert "FS-07" in book_instruments.reviewed(review, "28 Jun 2026")[0]
    record_outcome(finding.pk, "lens-cleaned", "", "ines")
    assert "FS-07" not in book_instruments.reviewed(review, "28 Jun 2026")[0]


def test_a_document_approved_while_the_clock_was_ahead_is_a_draft_once_the_fever_line_moves(
    book, a_year_ahead
):
    from approving import new_version
    from browline.services.book.change_preference import set_choice
    from browline.services.materials import documents
    from browline.services.materials.handouts.cards import mark

    today = timezone.localdate()
    found = documents.latest("pocket-card")
    approval = documents.Approval(
        owner="Ines", source="Local policy", approved=today, expires=today + timedelta(days=90)
    )
    with a_year_ahead():
        made = new_version("pocket-card", found.body, approval, read=found.version, actor="ines")
    assert mark(made, today) == ""
    set_choice("fever_c", 38.3, "ines")
    assert mark(made, today) == "DRAFT"


def test_a_fault_that_begins_after_a_check_entered_by_a_clock_ahead_is_new(book, a_year_ahead):
    from browline.services.review.outcomes import record_outcome
    from browline.services.review.run import _state

    review = a_review()
    finding = a_finding(review)
    with a_year_ahead():
        record_outcome(finding.pk, "within-limits", "", "ines")
    finding.refresh_from_db()
    assert finding.state == Finding.CLOSED

    class Seen:
        since = date(2026, 3, 2)

    assert _state(finding, Seen, a_review()) == Finding.CLOSED
    Seen.since = date(2026, 7, 1)
    assert _state(finding, Seen, a_review()) == Finding.NEW


def test_what_a_review_ahead_found_is_due_as_if_it_were_found_now(book, a_year_ahead):
    from browline.services.review.outcomes import due_day

    with a_year_ahead():
        finding = a_finding(a_review())
    assert due_day(finding) - timezone.now().date() < timedelta(days=40)


def test_a_job_that_never_began_is_interrupted_whatever_its_clock_said(book, a_year_ahead):
    from browline.services.book import jobs

    with a_year_ahead():
        job = Job.objects.create(verb="review")
    assert jobs.status(book, job) == "interrupted"


def test_the_bedside_switch_follows_the_last_turn(book, a_year_ahead):
    from browline.services.questioned import at_bedside

    with a_year_ahead():
        Event.objects.create(actor="ines", verb=at_bedside.TURNED, subject=at_bedside.ON)
    Event.objects.create(actor="ines", verb=at_bedside.TURNED, subject=at_bedside.OFF)
    assert not at_bedside.turns()[0].on


def test_an_entry_matched_again_is_the_one_matched_last(book, a_year_ahead):
    from browline.store.matched import MATCHED, _matches

    with a_year_ahead():
        Event.objects.create(actor="ines", verb=MATCHED, subject="ab", data={"into": 1})
    Event.objects.create(actor="ines", verb=MATCHED, subject="ab", data={"into": 2})
    assert _matches() == {"ab": 2}


def test_a_session_moved_while_the_clock_was_ahead_has_its_last_place_last(book, a_year_ahead):
    from browline.services.training.visit_plan.arranged import PLACED, _former_places

    def place(ward, at):
        Event.objects.create(actor="ines", verb=PLACED[0], subject="1", data={"ward": ward, "time": at})

    with a_year_ahead():
        place("Larch", "2026-07-01T14:00:00+00:00")
    place("Maple", "2026-07-02T14:00:00+00:00")
    assert [ward for ward, _ in _former_places()] == ["Larch"]


def test_a_round_dated_ahead_hides_no_later_round_cleaning_or_check(book):
    """The time of a round is stated, so it orders rounds; but none can have been walked in a year to come."""
    from browline.services.instruments.status import standing

    now = timezone.localtime()
    fs07 = Instrument.objects.create(name="FS-07", ward="Larch", kind="forehead-scan")
    for time, ward in ((now + YEAR, "Maple"), (now - timedelta(hours=1), "Larch")):
        Sighting.objects.create(
            instrument=fs07, time=time, ward=ward, state="present", how="phone", actor="ines"
        )
    Cleaning.objects.create(instrument=fs07, time=now + YEAR, part="lens")
    Check.objects.create(instrument=fs07, time=now + YEAR, reference=37.0, shown=37.0)
    fleet = standing(book, now)
    assert fleet.places["FS-07"].ward == "Larch"
    assert fleet.lenses["FS-07"].due is None
    assert fleet.checks["FS-07"].last is None
