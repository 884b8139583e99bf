"""Which try is next, against a count made by hand and a slow twin."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from browline.competency.attempts import Past, next_try, renewed_until
from browline.competency.checklist import LAYOUT, default, read
from browline.competency.judging import NOT_YET, SIGNED_OFF
from browline.controlled import checked

RULES = read(checked(LAYOUT, default()))
MONDAY = date(2026, 3, 2)
histories = st.lists(st.tuples(st.integers(0, 3), st.sampled_from([SIGNED_OFF, NOT_YET])), max_size=12).map(
    lambda told: [
        Past(MONDAY + timedelta(days=sum(d for d, _ in told[: i + 1])), outcome)
        for i, (_, outcome) in enumerate(told)
    ]
)
rules = st.builds(
    lambda tries, days: replace(RULES, tries=tries, days_between=days), st.integers(1, 5), st.integers(0, 7)
)


def test_the_first_is_the_first_and_may_be_today():
    first = next_try([], RULES, MONDAY)
    assert (first.number, first.earliest, first.open_today, first.second_needed) == (1, None, True, False)


def test_after_a_not_yet_the_next_is_on_another_day_and_knows_what_to_practise():
    second = next_try([Past(MONDAY, NOT_YET, ("straight path",))], RULES, MONDAY)
    assert (second.number, second.earliest, second.open_today) == (2, date(2026, 3, 3), False)
    assert second.again == ("straight path",)
    assert next_try([Past(MONDAY, NOT_YET)], RULES, date(2026, 3, 3)).open_today


def test_two_assessors_at_the_third_try():
    # A common rule of schools of nursing: three attempts on different days, two assessors at the third.
    days = [Past(MONDAY + timedelta(days=k), NOT_YET) for k in range(3)]
    assert [next_try(days[:k], RULES, MONDAY + timedelta(days=9)).second_needed for k in range(4)] == [
        False, False, True, True,
    ]  # fmt: skip
    assert [next_try(days[:k], RULES, MONDAY).beyond for k in range(4)] == [False, False, False, True]


def test_a_sign_off_starts_the_count_again():
    past = [Past(MONDAY, NOT_YET), Past(date(2026, 3, 4), SIGNED_OFF)]
    assert next_try(past, RULES, date(2026, 3, 4)).number == 1
    assert next_try(past, RULES, date(2026, 3, 4)).open_today


@given(histories, rules, st.integers(0, 40))
def test_the_next_try_is_what_a_slow_count_from_the_end_gives(history, rule, later):
    today = MONDAY + timedelta(days=later)
    number, waits = 1, None
    for past in reversed(history):
        if past.outcome == SIGNED_OFF:
            break
        waits = waits or past.day + timedelta(days=rule.days_between)
        number += 1
    found = next_try(history, rule, today)
    assert (found.number, found.earliest) == (number, waits)
    assert found.open_today == (waits is None or waits <= today)
    assert found.second_needed == (number >= rule.tries)


def test_a_year_from_a_leap_day_ends_with_february():
    assert renewed_until(date(2028, 2, 29), 12) == date(2029, 2, 28)
    assert renewed_until(date(2026, 12, 31), 2) == date(2027, 2, 28)
    assert renewed_until(date(2026, 11, 25), 12) == date(2027, 11, 25)


@given(st.dates(date(2000, 1, 1), date(2090, 1, 1)), st.integers(1, 60))
def test_renewal_is_that_many_months_on_and_never_spills_over(day, months):
    until = renewed_until(day, months)
    assert (until.year * 12 + until.month) - (day.year * 12 + day.month) == months
    assert until.day == day.day or (until.day < day.day and (until + timedelta(days=1)).day == 1)


def test_a_sign_off_beyond_the_calendar_holds_to_its_last_day():
    assert renewed_until(date(9999, 1, 31), 10) == date(9999, 11, 30)
    assert renewed_until(date(9999, 1, 31), 11) == renewed_until(date(2026, 1, 1), 120_000) == date.max
