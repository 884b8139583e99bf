"""A check out of limits is a task today wherever tasks stand; earlier advice that was wrong is taken back."""

from datetime import UTC, datetime, timedelta

import pytest

from browline.cli.instruments import _show
from browline.documents.encoding import plain
from browline.findings import CHECK_AS_FOUND
from browline.services.agenda import agenda
from browline.services.instruments import register as registers
from browline.services.instruments.document import instruments_document
from browline.services.instruments.rounds import Line, Round, record_round
from browline.services.instruments.status import standing
from browline.services.review.outcomes import next_step
from browline.services.review.wards.units import unit_sentences
from browline.store.book import open_book
from browline.store.models import Event, Finding, Review, Setting

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)


BEFORE = "Bring a spare, tag this instrument, clean its lens, and send it for a check."


def as_json(fleet):
    """The document as plain data, as the command writes it."""
    return plain(instruments_document(fleet))


@pytest.fixture
def fleet(book):
    """FS-07 of Larch, registered in °F."""
    registers.add_instrument("FS-07", ward="Larch", unit="F", actor="ines")
    return book


def units(shows):
    pattern = {
        "type": "instrument",
        "subject": "FS-07",
        "shows": shows,
        "registered": "F",
        "charted": "values in °C",
    }
    return {"audit": {"units": [pattern]}}


def walked(unit, days=1):
    record_round(
        Round("Larch", NOW - timedelta(days=days), (Line("FS-07", "present", unit=unit),)),
        actor="ines",
        now=NOW,
    )


def test_a_check_out_of_limits_stands_on_today_in_the_command_and_its_json(fleet, capsys):
    registers.enter_check("FS-07", time=NOW - timedelta(days=2), reference=37, shown=37.6, actor="ines")
    item = agenda(fleet, NOW)[0]
    assert item.what == "FS-07 (Larch): check out of limits, it read 0.60 °C (1.08 °F) high."
    assert item.by == NOW.date() and item.why.startswith("Put a spare in its place and keep it out of use")
    assert sum("out of limits" in each.what for each in agenda(fleet, NOW)) == 1
    told = as_json(standing(fleet, NOW))
    assert told["due"][0]["kind"] == "out-of-limits"
    (row,) = told["instruments"]
    assert row["check_out_of_limits"] and row["check_error_c"] == pytest.approx(0.6)
    assert row["check_due"] == "2026-03-07"
    _show(instruments_document(standing(fleet, NOW)))
    printed = capsys.readouterr().out
    assert "FS-07 (Larch): check out of limits, it read 0.60 °C (1.08 °F) high" in printed
    assert "not located" not in printed and "no round yet" in printed
    assert told["count"]["round_made"] is False


def test_the_charts_of_the_last_review_doubt_the_register(fleet):
    walked("C")
    Review.objects.create(result={}, supplement=units("C"), version="0")
    (setting,) = [e for e in as_json(standing(fleet, NOW))["due"] if e["kind"] == "setting"]
    assert setting["action"].startswith("Look at the instrument's display and correct the register")


def test_a_wards_page_says_what_is_to_be_put_right(fleet):
    made = Review.objects.create(result={}, supplement=units("C"), version="0")
    assert unit_sentences(made, "Larch")[0].endswith(
        "if it shows what its numbers say, correct the register."
    )
    walked("C")
    assert unit_sentences(made, "Larch")[0].endswith(
        "A round saw °C as well: look at its display and correct the register."
    )


def opened_as_of_before(fleet):
    Setting.objects.filter(key="advised-anew").delete()
    open_book(fleet.folder)


def test_the_advice_to_set_it_back_is_withdrawn_by_an_event_with_its_reason(fleet):
    walked("C")
    Review.objects.create(result={}, supplement=units("C"), version="0")
    opened_as_of_before(fleet)
    open_book(fleet.folder)
    told = Event.objects.get(verb="register-advice-withdrawn")
    assert told.subject == "FS-07" and told.data["advice"] == "Set it back to °F."
    assert "correct the register" in told.data["reason"] and "°C" in told.data["reason"]
    assert registers.service("FS-07")[0]["reason"] == told.data["reason"]


@pytest.mark.parametrize("shows, unit", [("", "C"), ("F", "C"), ("C", "F")])
def test_advice_that_was_right_stands(fleet, shows, unit):
    walked(unit)
    Review.objects.create(result={}, supplement=units(shows), version="0")
    opened_as_of_before(fleet)
    assert not Event.objects.filter(verb="register-advice-withdrawn").exists()


def test_an_open_finding_asks_for_the_check_as_found_before_cleaning(fleet):
    made = Review.objects.create(result={}, supplement={}, version="0")
    for name, state in (("FS-07", Finding.STILL), ("FS-08", Finding.CLOSED)):
        Finding.objects.create(key=f"instrument-offset|instrument|{name}", kind="instrument-offset", state=state,
                               subject_type="instrument", subject_id=name, data={"action": BEFORE},
                               first_review=made, last_review=made)  # fmt: skip
    opened_as_of_before(fleet)
    asked, closed = Finding.objects.order_by("subject_id")
    assert next_step(asked) == CHECK_AS_FOUND and asked.data["earlier_action"] == BEFORE
    assert CHECK_AS_FOUND.index("as found") < CHECK_AS_FOUND.index("clean its lens")
    assert "out of use" in CHECK_AS_FOUND and CHECK_AS_FOUND.startswith("Bring a spare")
    assert closed.data["action"] == BEFORE
