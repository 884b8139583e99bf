"""What is out of limits stays a task with its difference; a register that rounds and charts contradict is doubted."""

from datetime import UTC, datetime, timedelta

import pytest

from browline.instruments import (
    Checked,
    Cleaned,
    Entry,
    Fault,
    Kind,
    Problem,
    Sighted,
    counted,
    list_tasks,
    place_sentence,
    solve,
    ward_sentence,
)
from browline.instruments import describe_task as in_words

NOW = datetime(2026, 3, 20, 10, 0, tzinfo=UTC)
FS07 = Entry("FS-07", "Larch", "F", "core")


def ago(**span):
    return NOW - timedelta(**span)


def fleet(*entries, **facts):
    return solve(Problem(NOW, entries or (FS07,), **facts))


def of(found, kind):
    return [in_words(e) for e in list_tasks(found) if e.kind is kind]


# ISO 80601-2-56 allows 0.3 °C in the laboratory (as quoted by secondary sources); the edge itself is within.
@pytest.mark.parametrize(
    "shown, out", [(37.0, False), (37.3, False), (36.7, False), (37.31, True), (36.69, True), (35.0, True)]
)
def test_a_check_is_out_of_limits_beyond_three_tenths(shown, out):
    found = fleet(checks=(Checked("FS-07", ago(days=1), 37.0, shown),))
    assert bool(of(found, Kind.OUT_OF_LIMITS)) is out
    assert (found.checks["FS-07"].out is not None) is found.checks["FS-07"].to_do is out


@pytest.mark.parametrize(
    "said, out", [("FAILED", True), ("Out of limits", True), ("pass", False), ("not passed", True)]
)
def test_the_conclusion_that_was_written_counts_too(said, out):
    found = fleet(checks=(Checked("FS-07", ago(days=1), 37.0, 37.0, said),))
    assert bool(of(found, Kind.OUT_OF_LIMITS)) is out


def test_it_is_the_first_task_with_its_difference_and_stays_until_a_check_within_limits():
    out = Checked("FS-07", ago(days=20), 37.0, 36.5)
    found = fleet(
        checks=(out,),
        sightings=(Sighted.from_words("FS-07", ago(hours=1), "present", ward="Larch", unit="C"),),
    )
    first = list_tasks(found)[0]
    assert first.kind is Kind.OUT_OF_LIMITS and first.about.due == ago(days=20).date()
    words = in_words(first)
    assert words.title == "FS-07 (Larch): check out of limits, it read 0.50 °C (0.90 °F) low"
    assert "It showed 36.50 °C (97.70 °F) where the reference showed 37.00 °C (98.60 °F)." in words.reasons
    assert words.action.startswith("Put a spare in its place and keep it out of use")
    assert not of(found, Kind.CHECK), "it is said once"
    within = fleet(checks=(out, Checked("FS-07", ago(days=1), 37.0, 36.9)))
    assert not of(within, Kind.OUT_OF_LIMITS) and not of(within, Kind.CHECK)


def test_of_two_checks_at_one_moment_the_less_welcome_stands():
    when = ago(days=1)
    checks = (Checked("FS-07", when, 37.0, 36.5), Checked("FS-07", when, 37.0, 37.0))
    assert of(fleet(checks=checks), Kind.OUT_OF_LIMITS) and of(fleet(checks=checks[::-1]), Kind.OUT_OF_LIMITS)


def test_one_out_of_limits_is_not_ready():
    facts = {
        "sightings": (Sighted.from_words("FS-07", ago(hours=1), "present", ward="Larch"),),
        "cleanings": (Cleaned("FS-07", ago(days=1)),),
    }
    assert fleet(**facts).wards[0].ready == ("FS-07",)
    off = fleet(checks=(Checked("FS-07", ago(days=1), 37.0, 37.5),), **facts)
    assert off.wards[0].unready == {"FS-07": (Fault.CHECK,)} and off.wards[0].ready == ()


def setting(charts):
    looked = (Sighted.from_words("FS-07", ago(hours=1), "present", ward="Larch", unit="C"),)
    (words,) = of(fleet(sightings=looked, charted_units=charts), Kind.SETTING)
    return words


def test_where_charts_and_rounds_agree_it_is_the_register_that_is_doubted():
    words = setting({"FS-07": "C"})
    assert "Set it back" not in words.action
    assert words.action.startswith("Look at the instrument's display and correct the register")
    assert "The charted numbers come from °C too." in words.reasons


@pytest.mark.parametrize("charts", [{}, {"FS-07": "F"}, {"FS-08": "C"}])
def test_where_the_charts_do_not_speak_against_the_register_it_is_set_back(charts):
    assert setting(charts).action.startswith("Set it back to °F")


def test_before_any_round_nothing_is_called_not_located():
    found = fleet(FS07, Entry("FS-08", "Larch"), need={"Larch": 2})
    assert (
        counted(found.count) == "2 are in service. No round has been made yet. Where they are is not known."
    )
    assert place_sentence(found.places["FS-07"]) == "No round has been made yet."
    assert ward_sentence(found.wards[0]) == "no round yet; 2 needed"
    assert [w.title for w in of(found, Kind.NO_ROUND)] == [
        "FS-07 (Larch): no round yet",
        "FS-08 (Larch): no round yet",
    ]
    assert not of(found, Kind.MISSING)
    after = fleet(
        FS07, Entry("FS-08", "Larch"), sightings=(Sighted.from_words("FS-07", ago(hours=1), "present"),)
    )
    assert [w.title for w in of(after, Kind.MISSING)] == ["FS-08 (Larch): not located"]
    assert not of(after, Kind.NO_ROUND)


def test_one_with_an_open_question_is_checked_as_found_before_its_lens_is_cleaned():
    (asked,) = of(fleet(flagged=frozenset(["FS-07"])), Kind.LENS)
    assert asked.action.startswith("Do not clean it yet: put a spare in its place")
    assert asked.action.index("checked as found") < asked.action.index("Then clean the lens")
    (plain,) = of(fleet(), Kind.LENS)
    assert plain.action.startswith("Clean the lens")
