"""What the audit saw, read back for pages and sheets: small numbers withheld, weeks followed, wards unranked."""

from datetime import date

import pytest

import invented_wards as told
from browline.audit import NOT_SAID, TESTS, Outcome
from browline.services.review.wards import dated_events, follow, names, untold, ward, wards
from browline.services.review.wards.compared import instrument_rows, limit_rows, site_funnel, unlikely_share
from browline.services.review.wards.trend import share_points


def one(told_ward):
    """A ward read back."""
    return ward(told.a_review(told_ward), told_ward["ward"])


def answer(read, test):
    return next(a for a in read.answers if a.test == test)


def test_wards_stand_by_name_numbers_as_numbers_and_those_not_said_last():
    given = ["Ward 10", "ward not said", "Ward 9", "Alder", "ward 2"]
    review = told.a_review(
        *(told.a_ward(name, of=told.weeks([1] * k)) for k, name in enumerate(given, start=1))
    )
    assert [w.name for w in wards(review)] == ["Alder", "ward 2", "Ward 9", "Ward 10", "ward not said"]


def test_without_an_audit_there_are_no_wards():
    review = told.a_review()
    del review.supplement["audit"]
    assert wards(review) == () and wards(None) == () and names(None) == frozenset()


def test_fewer_than_ten_to_look_at_is_too_few_whatever_was_seen():
    found = answer(one(told.yew()), "site-missing")
    assert found.outcome is Outcome.TOO_FEW and found.effect is None and found.sentence == ""
    assert found.text == "Too few to tell: fewer than 10 to look at."


@pytest.mark.parametrize(("count", "hidden"), [(4, True), (5, False)])
def test_counts_under_five_are_not_shown(count, hidden):
    rare = told.seen("implausible", count / 400, "Rowan", n=400)
    found = answer(one(told.a_ward("Rowan", rare, of=told.weeks([1] * 12))), "implausible")
    assert (found.effect is None) is hidden
    assert ("fewer than 5" in found.sentence) is hidden
    assert (f"{count} of 400" in found.sentence) is not hidden


def test_a_sentence_leaves_out_the_name_that_stands_above_it():
    assert answer(one(told.larch()), "value-spike").sentence.startswith("36.0 °C was charted")


def test_the_value_favoured_is_followed_else_the_missing_site():
    assert follow(one(told.larch())).what == "readings charted as 36.0 °C"
    assert follow(one(told.rowan())).what == "readings without a site"


def test_a_step_is_dated_and_what_is_usual_is_taken_from_before_it():
    followed = follow(one(told.larch()))
    assert followed.changed and followed.weeks[followed.change.first].isoformat() == "2026-04-06"
    assert followed.chart.centre == pytest.approx(sum(followed.counts[:13]) / 1300)
    assert "in the week of 06 Apr 2026: from 12.7 % to 2.6 %" in followed.said
    assert followed.briefly.startswith("It has changed.")


def test_steady_weeks_are_said_to_be():
    followed = follow(one(told.maple()))
    assert followed.said.startswith("No more change than chance brings")
    assert followed.briefly == "No more change from week to week than chance brings."


CHANCE = "No more change"
LATE = [3, 2, 4, 3, 2, 3, 4, 2, 3, 2, 3, 4, 2, 3, 4, 2, 3, 2, 14, 15, 13]


def test_a_late_step_is_not_said_beside_no_more_change_than_chance_brings():
    """Three weeks of five times the share: a step, and runs too short to show it."""
    followed = follow(one(told.a_ward("Larch", told.spike("Larch"), of=told.weeks(LATE, favourite=True))))
    assert followed.changed and followed.runs.outcome.value == "steady"
    for said in (followed.said, followed.said_without_step, followed.briefly):
        assert CHANCE not in said
    assert followed.said.startswith("Runs of weeks alone do not show the change: at most ")
    assert "in the week of 11 May 2026: from" in followed.said


@pytest.mark.parametrize("after", [0.04, 0.01])
def test_a_step_told_from_all_weeks_is_not_denied_by_the_weeks_that_are_shown(after):
    spike = told.seen(
        "value-spike", 0.08, "Larch", label="36.0 °C", turned=date(2026, 4, 6), before=0.02, after=after
    )
    followed = follow(one(told.a_ward("Larch", spike, of=told.weeks([2, 1, 3, 2] * 6, favourite=True))))
    assert not followed.changed
    assert CHANCE not in followed.said and CHANCE not in followed.briefly
    way = "risen" if after > 0.02 else "fallen"
    assert followed.briefly.startswith(f"It has changed. Its share has {way} from 2.0 % to")


def test_one_odd_week_is_named():
    counts = [3, 2, 4, 3, 2, 3, 4, 2, 3, 25, 3, 2, 4, 3, 2, 3, 4, 2]
    followed = follow(one(told.a_ward("Rowan", of=told.weeks(counts, n=200))))
    assert followed.briefly == "The week of 09 Mar 2026 differs by more than chance brings."
    assert [p.start.isoformat() for p in share_points(followed) if p.outside] == ["2026-03-09"]


def test_weeks_of_fewer_than_ten_readings_are_left_out():
    mixed = [*told.weeks([1, 1], n=9), *told.weeks([1, 1, 1], n=10)]
    assert follow(one(told.a_ward("Holly", of=mixed))).totals == (10, 10, 10)


def test_one_week_alone_of_fewer_than_ten_takes_the_smallest_other_with_it():
    """Else the ward's total less the weeks shown would tell it."""
    sizes = [9, 30, 20, 40]
    weeks = [
        {**told.weeks([1], n=n)[0], "week": w["week"]}
        for n, w in zip(sizes, told.weeks([1] * 4), strict=True)
    ]
    assert follow(one(told.a_ward("Holly", of=weeks))).totals == (30, 40)
    assert follow(one(told.a_ward("Holly", of=weeks[1:]))).totals == (30, 20, 40)


def test_crossings_are_told_in_plain_words():
    counts = [12, 13, 14, 13, 12, 14] * 2 + [3, 2, 4, 3, 2, 3] * 2
    said = follow(one(told.a_ward("Rowan", of=told.weeks(counts)))).said
    assert "cross the middle" not in said


def test_every_test_can_be_said_as_an_open_question():
    asked = {
        test: answer(one(told.a_ward("Larch", told.signal(test, "too-few"))), test).whether for test in TESTS
    }
    assert len(set(asked.values())) == len(TESTS)
    assert all(text.startswith(("whether ", "which ")) for text in asked.values())


def test_few_weeks_are_too_few_and_have_no_limits():
    followed = follow(one(told.holly()))
    assert followed.said == "Too few weeks to tell whether it changes: 4 weeks with ten readings or more."
    assert {p.low for p in share_points(followed)} == {None}
    assert follow(one(told.yew())).said.endswith("0 weeks with ten readings or more.")


def test_events_are_the_wards_own_and_the_hospitals():
    assert [e.what for e in dated_events(told.a_review(), "Maple")] == [
        told.ELSEWHERE["what"],
        told.ALL["what"],
    ]


def test_the_funnel_holds_every_ward_and_its_lines_reach_past_the_smallest_and_largest():
    made = site_funnel(
        wards(told.a_review(*(told.a_ward(f"W{k}", of=told.weeks([2] * (8 + k))) for k in range(6))))
    )
    rows = limit_rows(made)
    assert {u.name for u in made.units} == {f"W{k}" for k in range(6)}
    assert rows[0].n < 800 and rows[-1].n > 1300
    assert all(r.low998 < r.low95 < r.high95 < r.high998 for r in rows)


def test_instruments_stand_per_ten_patients_and_a_quiet_ward_keeps_what_its_tests_leave_open():
    rows = {r.ward: r for r in instrument_rows(wards(told.a_review()))}
    assert rows["Larch"].per_ten_beds == pytest.approx(2.5)
    assert (rows["Larch"].low, rows["Larch"].high) == pytest.approx((0.064, 0.096))
    assert rows["Maple"].share == 0 and rows["Maple"].high == pytest.approx(0.01)
    assert rows["Yew"].share is None and rows["Yew"].per_ten_beds is None


def test_the_share_of_all_wards_weighs_them_by_their_readings():
    share, low, high = unlikely_share(wards(told.a_review(told.larch(), told.maple())))
    assert share == pytest.approx(0.04)
    assert (low, high) == pytest.approx((0.032, 0.048))
    assert unlikely_share(()) == (0.0, 0.0, 0.0)


def test_where_no_ward_could_be_told_the_readings_are_named_and_nothing_is_reassured():
    few = [told.a_ward(name, of=told.weeks([1], n=n), quiet=False) for name, n in (("A", 19), ("B", 21))]
    assert untold(wards(told.a_review(*few))) == (
        "Too few readings to tell (19 and 21 on 2 wards); this says nothing for or against them."
    )
    assert untold(wards(told.a_review(*few, told.maple()))) == "" == untold(())


def test_readings_without_a_ward_are_not_called_a_ward():
    def some(name, n):
        return told.a_ward(name, of=told.weeks([1], n=n), quiet=False)

    nobody = some(NOT_SAID, 12)
    assert untold(wards(told.a_review(nobody))) == (
        "Too few readings to tell (12 without a ward); this says nothing for or against them."
    )
    assert untold(wards(told.a_review(some("A", 19), nobody))) == (
        "Too few readings to tell (19 on 1 ward, and 12 without a ward); this says nothing for or against them."
    )


def test_a_unit_that_cannot_be_told_yet_is_said_so(book):
    from browline.services.review.wards import unit_sentences

    review = told.a_review()
    pattern = {
        "type": "ward",
        "subject": "Larch",
        "n": 900,
        "registered": None,
        "charted": "values charted in °C",
    }
    review.supplement["audit"]["units"] = [pattern | {"shows": None}, pattern | {"shows": "F"}]
    assert unit_sentences(review, "Larch") == [
        "The numbers charted in °C: which unit they come from cannot be told yet.",
        "The numbers charted in °C come from tenths of °F.",
    ]


def test_numbers_of_the_other_unit_are_named_and_the_rest_counted(book):
    from browline.services.review.wards import unit_sentences
    from browline.store.models import Instrument

    for name in ("FS-1", "FS-2", "FS-3"):
        Instrument.objects.create(name=name, ward="Larch", unit="C")
    review = told.a_review()
    review.supplement["audit"]["units"] = [
        {
            "type": "instrument",
            "subject": name,
            "n": 900,
            "shows": shows,
            "registered": "C",
            "charted": "values charted in °C",
        }
        for name, shows in (("FS-1", "C"), ("FS-2", "F"), ("FS-3", None), ("FS-9", "F"))
    ]
    said = unit_sentences(review, "Larch")
    assert said[0] == "By the pattern of their numbers 1 instrument shows the unit that the register says."
    assert (
        "FS-2: its numbers come from tenths of °F, the register says °C" in said[1]
        and "spare at hand" in said[1]
    )
    assert said[2] == "Too few readings to tell the unit: FS-3." and len(said) == 3


@pytest.mark.parametrize("after", [0.026, 0.3])
def test_what_was_seen_can_be_said_without_its_step(after):
    plain = answer(one(told.a_ward("Larch", told.spike("Larch"), of=told.FELL)), "value-spike")
    stepped = told.seen(
        "value-spike", 0.08, "Larch", label="36.0 °C", turned=date(2026, 4, 6), before=0.127, after=after
    )
    found = answer(one(told.a_ward("Larch", stepped, of=told.FELL)), "value-spike")
    way = "fallen" if after < 0.127 else "risen"
    assert found.step == f" Its share has {way} from 12.7 % to {100 * after:.1f} % since 06 Apr 2026."
    assert found.sentence.endswith(found.step) and found.without_step == plain.sentence
    assert plain.step == "" and plain.without_step == plain.sentence
