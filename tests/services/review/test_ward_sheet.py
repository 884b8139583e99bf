"""The ward's sheet as data: one good thing that is true, one ask that helps, nobody named."""

import dataclasses
from datetime import date

import pytest

import invented_wards as told
from browline.audit import TESTS
from browline.errors import InputRefused, NotUnderstood
from browline.findings import AUDITED
from browline.services.review.ward_sheet import make_sheet, ward_sheet
from browline.services.review.ward_sheet.ask import KEEP_ON
from browline.services.review.wards import ward, wards


def sheet(one):
    """The sheet of one ward told."""
    review = told.a_review(one)
    return make_sheet(review, ward(review, one["ward"]), "a4")


def sizes():
    """Of the readings told, what share stood at 36.0 °C before the week of 06 Apr 2026 and from then on."""
    counts = [w["favourite"] for w in told.FELL]
    return sum(counts[:13]) / 1300, sum(counts[13:]) / 1100


def test_a_share_that_fell_is_the_good_thing_with_both_its_sizes():
    before, after = sizes()
    good = sheet(
        told.a_ward("Larch", told.spike("Larch", at="37.9 °C"), told.edge("Larch"), of=told.FELL)
    ).good
    good = good.replace("37.9", "36.0")
    assert good.startswith("36.0 °C is charted less often")
    assert f"{100 * before:.1f} % of readings before the week of 06 Apr 2026, {100 * after:.1f} %" in good


def test_where_the_ask_tells_the_fall_it_is_said_once_and_asked_as_past():
    before, after = sizes()
    one = sheet(told.larch())
    fall = f"fell from {100 * before:.1f} % to {100 * after:.1f} % in the week of 06 Apr 2026"
    assert one.ask.question == f"Readings charted as 36.0 °C {fall}; what changed, and what is left?"
    assert one.good == "36.0 °C is charted less often than it was; the ask says by how much."
    assert f"{100 * after:.1f} %" not in one.good + one.trend.said + one.ask.why


def test_what_the_audit_says_of_the_fall_is_left_to_the_ask():
    fell = told.seen(
        "value-spike", 0.08, "Larch", label="36.0 °C", turned=date(2026, 4, 6), before=0.127, after=0.026
    )
    one = told.a_ward("Larch", fell, of=told.FELL)
    assert "has fallen from 12.7 %" in ward(told.a_review(one), "Larch").seen[0].sentence
    why = sheet(one).ask.why
    assert "has fallen" not in why and why.startswith("36.0 °C was charted 240 times")


@pytest.mark.parametrize(
    ("day", "where", "named"),
    [
        ("2026-04-06", "Larch", True),
        ("2026-04-12", "", True),
        ("2026-04-13", "Larch", False),
        ("2026-04-07", "Maple", False),
    ],
)
def test_an_event_of_that_week_on_that_ward_stands_beside_the_fall(day, where, named):
    review = told.a_review(told.larch())
    review.supplement["events"] = [{"date": day, "what": "default removed", "ward": where}]
    question = make_sheet(review, ward(review, "Larch"), "a4").ask.question
    assert (f"(default removed, {day[-2:]} Apr 2026); what changed" in question) is named


def test_missing_sites_that_fell_are_asked_about_as_past():
    weeks = told.weeks([20, 22, 19, 21] * 3 + [6, 5, 7, 6] * 3)
    one = sheet(told.a_ward("Rowan", told.seen("site-missing", 0.13, "Rowan"), of=weeks))
    assert one.ask.question.startswith(
        "Readings without a site fell from 20.5 % to 6.0 % in the week of 30 Mar 2026"
    )


def test_a_rise_is_asked_about_as_it_stands():
    counts = [w["favourite"] for w in told.FELL[::-1]]
    one = sheet(told.a_ward("Larch", told.spike("Larch"), of=told.weeks(counts, favourite=True)))
    assert "fell" not in one.ask.question and "from" in one.trend.said


@pytest.mark.parametrize(
    ("test", "instead"), [("entry-delay", True), ("copied-values", True), ("site-missing", False)]
)
def test_a_chart_of_something_else_than_what_is_asked_says_why(test, instead):
    one = sheet(told.a_ward("Rowan", told.seen(test, 0.2, "Rowan"), of=told.weeks([20, 21, 19, 22] * 4)))
    assert ("the chart shows the site, which every ward can follow" in one.trend.said) is instead
    assert "No week-by-week count" not in sheet(told.maple()).trend.said


def test_the_key_explains_only_what_stands_on_the_sheet():
    assert "brackets" in sheet(told.rowan()).trend.key and "Grey band" in sheet(told.rowan()).trend.key
    assert "Ringed" in sheet(told.larch()).trend.key and "Ringed" not in sheet(told.rowan()).trend.key
    assert "brackets" not in sheet(told.maple()).trend.key
    assert sheet(told.holly()).trend.key == ""


def test_a_share_that_rose_is_never_the_good_thing():
    rose = [{**w, "favourite": x["favourite"]} for w, x in zip(told.FELL, told.FELL[::-1], strict=True)]
    good = sheet(told.a_ward("Larch", told.spike("Larch"), of=rose)).good
    assert "less often" not in good


@pytest.mark.parametrize(
    ("missing", "said"),
    [(0, "100 %"), (1, "99 %"), (5, "95 %")],
)
def test_sites_charted_are_rounded_down(missing, said):
    good = sheet(told.a_ward("Maple", of=told.weeks([missing] * 4))).good
    assert good == f"The site is charted for {said} of 400 readings in the four weeks to 01 Feb 2026."


def test_never_all_of_them_while_one_site_is_missing():
    weeks = told.weeks([1, 0, 0, 0], n=1000)
    assert "99 % of 4,000" in sheet(told.a_ward("Maple", of=weeks)).good


def test_only_the_last_four_weeks_count_as_lately():
    for before, lately, praised in ((0, 10, False), (10, 0, True)):
        one = told.a_ward("Maple", of=told.weeks([before, lately] * 2 + [lately] * 4), quiet=False)
        assert sheet(one).good.startswith("The site is charted for 100 %") is praised
    rare = told.a_ward("Maple", of=told.weeks([0] * 60 + [10] * 4), quiet=False)
    assert sheet(rare).good == "Thank you for 6,400 temperatures charted."


def test_sites_left_out_now_are_not_praised_for_what_is_charted():
    weeks = told.weeks([0, 0, 0, 0])
    one = told.a_ward("Rowan", told.seen("site-missing", 0.2, "Rowan"), of=weeks)
    assert "site is charted" not in sheet(one).good


def test_measured_one_by_one_is_said_only_where_every_such_test_could_have_seen():
    weeks = told.weeks([10] * 8)
    assert "look measured one by one" in sheet(told.a_ward("Maple", of=weeks)).good
    for test in ("value-spike", "copied-values", "round-batch"):
        one = told.a_ward("Maple", told.signal(test, "too-few", ward="Maple"), of=weeks)
        assert "measured" not in sheet(one).good, test


def test_keyed_within_the_hour_where_nothing_better_holds():
    late = told.signal("entry-delay", "not-seen", 1000, ward="Maple", effect=0.0203)
    copied = told.signal("copied-values", "too-few", ward="Maple")
    one = told.a_ward("Maple", late, copied, of=told.weeks([10] * 8))
    assert sheet(one).good == "98 % of 1,000 readings are keyed within the hour."


def test_where_nothing_is_good_enough_to_say_the_ward_is_thanked():
    one = told.a_ward("Maple", of=told.weeks([10] * 8), quiet=False)
    assert sheet(one).good == "Thank you for 800 temperatures charted."


def test_the_ask_is_about_values_before_sites():
    one = told.a_ward("Larch", told.seen("site-missing", 0.2, "Larch"), told.spike("Larch"), of=told.FELL)
    ask = sheet(one).ask
    assert ask.test == "value-spike" and "we bring a spare" in ask.help
    assert ask.reasons[0].startswith("the form")


@pytest.mark.parametrize(
    ("at", "test"), [("37.9 °C", "edge"), ("37.0 °C", "value-spike"), ("100.2 °F", "value-spike")]
)
def test_a_value_heaped_just_under_the_fever_line_is_asked_about_at_the_line(at, test):
    one = told.a_ward("Larch", told.spike("Larch", at=at), told.edge("Larch"), of=told.FELL)
    assert sheet(one).ask.test == test


def test_with_nothing_seen_the_ask_is_to_keep_on():
    ask = sheet(told.maple()).ask
    assert ask.question == KEEP_ON and ask.reasons == ()
    assert "Nothing was seen" in ask.why


def test_a_ward_of_few_readings_is_not_told_that_nothing_was_seen():
    ask = sheet(told.holly()).ask
    assert "too few readings to tell" in ask.why and "Nothing was seen" not in ask.why
    assert sheet(told.holly()).trend.followed.briefly.startswith("Too few weeks to tell")


def test_every_test_has_an_ask_unless_it_compares_wards():
    assert {test for test in TESTS if not AUDITED[test].help} == {
        "fever-missing",
        "narrow-spread",
        "unit-pattern",
    }


def test_a_comparison_with_other_wards_keeps_only_the_wards_own_part():
    one = told.a_ward("Larch", told.seen("site-switching", 0.3, "Larch"), of=told.weeks([1] * 12))
    assert sheet(one).ask.why == "The site changes at 32.0 % of a patient's successive readings."


def test_its_events_are_its_own_and_the_hospitals():
    assert [e.what for e in sheet(told.larch()).trend.events] == [told.FORM["what"], told.ALL["what"]]


def test_fewer_than_ten_readings_get_no_sheet():
    with pytest.raises(InputRefused, match="fewer than 10"):
        ward_sheet(told.a_review(), "Yew")


def test_a_ward_the_review_does_not_know_is_refused_with_those_it_knows():
    with pytest.raises(NotUnderstood, match="Holly, Larch, Maple, Rowan, Yew"):
        ward_sheet(told.a_review(), "Elm")
    with pytest.raises(NotUnderstood, match="Run a review first"):
        ward_sheet(None, "Elm")


def test_no_person_and_no_other_ward_stands_on_any_sheet_of_a_whole_hospital(hospital_by_person):
    from browline.store.models import Person, Review

    made = Review.objects.order_by("pk").last()
    assert "people" in made.result
    known = {w.name for w in wards(made)}
    people = set(Person.objects.values_list("identifier", flat=True))
    people |= {str(p) for p in Person.objects.values_list("pseudonym", flat=True)}
    assert people and len(known) > 2
    for name in known:
        said = repr(dataclasses.replace(ward_sheet(made, name), made=None))
        assert not {p for p in people if p in said}
        assert not {other for other in known - {name} if other in said}
