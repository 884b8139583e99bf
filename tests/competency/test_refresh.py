"""Whom to see again first: each reason by hand, the looks of the first year, and the order."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from browline.competency.explain import listed, reason_sentence
from browline.competency.refresh import LOOKS, WEIGHTS, Due, History, next_look, solve
from browline.competency.status import Observed, Rule, standing

TODAY, YEAR = date(2026, 6, 1), Rule(12, 60)
RECENT = Observed(date(2026, 5, 20), "signed-off")


def seen(*observed, person=1, today=TODAY, **facts):
    return History(
        person, standing(observed, YEAR, today), tuple(sorted(observed, key=lambda o: o.day)), **facts
    )


def codes(one):
    found = solve([one], YEAR, TODAY)
    return [r.code for r in found[0].reasons] if found else []


def test_somebody_signed_off_last_week_has_no_reason():
    assert codes(seen(RECENT)) == []


def test_the_never_observed_have_nothing_to_refresh():
    assert solve([seen(signals=("repeats too soon",), duties=0)], YEAR, TODAY) == ()


BEFORE = Observed(date(2025, 12, 1), "not-yet", missed=("clean lens",))
CASES = {
    "not-yet": seen(Observed(date(2026, 5, 20), "not-yet", missed=("clean lens",))),
    "ended": seen(Observed(date(2025, 5, 20), "signed-off")),
    "missed-before": seen(BEFORE, RECENT),
    "back": seen(Observed(date(2025, 12, 1), "signed-off"), away=(date(2026, 1, 1), date(2026, 4, 30))),
    "ward": seen(RECENT, signals=("repeats too soon",)),
    "few-duties": seen(RECENT, duties=2),
    "first-year": seen(Observed(date(2026, 4, 1), "signed-off")),
    "ends": seen(Observed(date(2025, 7, 1), "signed-off"), Observed(date(2025, 7, 3), "signed-off")),
    "no-steps": seen(Observed(date(2026, 5, 20), "signed-off", steps=False)),
}


@pytest.mark.parametrize("code", CASES)
def test_each_reason(code):
    assert code in codes(CASES[code])


def test_every_reason_is_weighed_and_has_a_case():
    assert set(CASES) == set(WEIGHTS)


@pytest.mark.parametrize(
    "one",
    [
        seen(RECENT, away=(date(2026, 1, 1), date(2026, 4, 30))),
        seen(RECENT, duties=4),
        seen(Observed(date(2024, 12, 1), "not-yet"), RECENT),
    ],
    ids=["observed since", "enough duties", "a miss long ago"],
)
def test_no_reason(one):
    assert codes(one) == []


def test_words():
    said = [reason_sentence(r) for case in CASES.values() for r in solve([case], YEAR, TODAY)[0].reasons]
    for sentence in (
        "Not yet on 20 May 2026: clean lens",
        "The sign-off ended on 20 May 2026",
        "Needed another try: clean lens on 01 Dec 2025",
        "Back on 30 Apr 2026 from 120 days away, and not observed since",
        "The charts of the ward ask for a look: repeats too soon",
        "2 turns of duty in the last four weeks",
        "The look due in the first year since 01 May 2026 has not been taken",
        "The sign-off of 20 May 2026 was brought in without its steps",
    ):
        assert sentence in said


def test_the_heaviest_reason_is_said_first():
    one = solve([seen(Observed(date(2025, 5, 20), "signed-off", steps=False), duties=0)], YEAR, TODAY)[0]
    assert [s.split()[0:2] for s in listed(one.reasons)] == [
        ["The", "sign-off"],
        ["No", "turns"],
        ["The", "sign-off"],
    ]
    assert listed(one.reasons)[0].startswith("The sign-off ended")


def test_the_looks_of_the_first_year():
    first = Observed(date(2026, 1, 31), "signed-off")
    assert next_look([first], YEAR) == date(2026, 2, 28)
    assert next_look([first, Observed(date(2026, 3, 1), "signed-off")], YEAR) == date(2026, 4, 30)
    assert next_look([first, Observed(date(2026, 2, 28), "signed-off")], YEAR) == date(2026, 4, 30)
    assert next_look([], YEAR) is None


@given(st.lists(st.dates(date(2025, 1, 1), date(2026, 6, 1)), min_size=1, max_size=5), st.integers(1, 36))
def test_the_next_look_is_a_look_of_the_first_year_or_the_end(days, months):
    observed = [Observed(day, "signed-off") for day in days]
    looks = [min(days) + relativedelta(months=m) for m in LOOKS]
    ends = max(days) + relativedelta(months=months)
    assert next_look(observed, Rule(months)) == min([d for d in looks if d > max(days)] + [ends])


def test_due_after_a_not_yet_is_today_and_after_an_end_that_end():
    not_yet, ended = (solve([CASES[c]], YEAR, TODAY)[0] for c in ("not-yet", "ended"))
    assert (not_yet.due, not_yet.state) == (TODAY, Due.SOON)
    assert (ended.due, ended.state) == (date(2026, 5, 20), Due.OVERDUE)


@given(st.permutations(list(CASES)))
def test_more_reasons_come_first_whatever_the_order_they_came_in(order):
    found = solve([History(**vars(CASES[c]) | {"person": i}) for i, c in enumerate(order)], YEAR, TODAY)
    assert [r.weight for r in found] == sorted((r.weight for r in found), reverse=True)


def test_a_reason_more_never_puts_somebody_later():
    plain, heavier = seen(RECENT, person=1, duties=1), seen(RECENT, person=2, duties=1, signals=("x",))
    assert [r.person for r in solve([plain, heavier], YEAR, TODAY)] == [2, 1]


@pytest.mark.parametrize(("days", "told"), [(89, False), (90, True)])
def test_long_leave_is_three_months_or_more(days, told):
    away = (date(2026, 5, 1) - timedelta(days=days - 1), date(2026, 5, 1))
    assert ("back" in codes(seen(Observed(date(2025, 12, 1), "signed-off"), away=away))) is told


def test_back_from_leave_is_said_for_three_months():
    for days, told in ((90, True), (91, False)):
        away = (TODAY - timedelta(days=days + 200), TODAY - timedelta(days=days))
        old = Observed(TODAY - timedelta(days=300), "signed-off")
        assert ("back" in codes(seen(old, away=away))) is told
