"""Where a person stands on a day: by hand, by property, and its dates by another library's calendar."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from browline.competency.explain import standing_sentence
from browline.competency.status import Observed, Rule, Stands, standing

SIGNED, NOT_YET = "signed-off", "not-yet"
MARCH = date(2026, 3, 7)
YEAR = Rule(months=12, soon_days=60)
days = st.dates(date(2020, 1, 1), date(2030, 12, 31))
observed = st.builds(Observed, days, st.sampled_from([SIGNED, NOT_YET]), st.booleans())


@pytest.mark.parametrize(
    ("today", "stands"),
    [
        (date(2026, 3, 6), Stands.NEVER),
        (date(2026, 3, 7), Stands.SIGNED_OFF),
        (date(2027, 1, 5), Stands.SIGNED_OFF),
        (date(2027, 1, 6), Stands.DUE_SOON),
        (date(2027, 3, 7), Stands.DUE_SOON),
        (date(2027, 3, 8), Stands.OVERDUE),
    ],
)
def test_a_sign_off_from_its_day_to_its_end(today, stands):
    assert standing([Observed(MARCH, SIGNED)], YEAR, today).stands is stands


def test_a_critical_miss_takes_the_standing_away_and_a_whole_one_gives_it_back():
    seen = [Observed(MARCH, SIGNED), Observed(date(2026, 6, 1), NOT_YET, missed=("clean lens",))]
    assert standing(seen, YEAR, date(2026, 6, 2)).stands is Stands.NOT_YET
    seen.append(Observed(date(2026, 6, 3), SIGNED))
    assert standing(seen, YEAR, date(2026, 6, 3)).until == date(2027, 6, 3)


@given(st.lists(days), days)
def test_attendance_alone_is_never_competence(attended, today):
    found = standing([], YEAR, today, attended)
    assert found.stands is Stands.NEVER and not found.current
    assert found.attended == max((d for d in attended if d <= today), default=None)


@given(st.lists(observed, max_size=6), days, st.integers(1, 60))
def test_the_last_observation_decides_and_the_end_is_the_calendars(seen, today, months):
    found = standing(seen, Rule(months), today)
    known = [o for o in seen if o.day <= today]
    if not known:
        assert found.stands is Stands.NEVER
        return
    last = max(o.day for o in known)
    assert found.last.day == last
    if found.last.outcome == NOT_YET:
        assert found.stands is Stands.NOT_YET and found.until is None
    else:
        # dateutil keeps to the last day of a shorter month, as we do.
        assert found.until == last + relativedelta(months=months)
        assert found.current == (today <= found.until)


@given(st.lists(observed, min_size=1, max_size=5), days, days)
def test_what_comes_later_changes_nothing_now(seen, today, later):
    if later <= today:
        return
    assert standing(seen, YEAR, today) == standing([*seen, Observed(later, NOT_YET)], YEAR, today)


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_on_one_day_the_one_with_its_steps_decides(order):
    both = [Observed(MARCH, SIGNED, steps=False), Observed(MARCH, NOT_YET, steps=True)][::order]
    assert standing(both, YEAR, MARCH).stands is Stands.NOT_YET


def test_words():
    never = standing([], YEAR, MARCH, [MARCH - timedelta(days=3)])
    assert standing_sentence(never) == (
        "Never observed. At a session on 04 Mar 2026; being there alone is no sign-off."
    )
    brought = standing([Observed(MARCH, SIGNED, steps=False)], YEAR, date(2027, 2, 1))
    assert standing_sentence(brought) == (
        "Signed off until 07 Mar 2027; the next observation is due soon, by a record brought in (no steps recorded)."
    )
    ended = standing([Observed(MARCH, SIGNED)], YEAR, date(2027, 6, 1))
    assert standing_sentence(ended) == "The sign-off of 07 Mar 2026 ended on 07 Mar 2027."
    missed = standing([Observed(MARCH, NOT_YET, missed=("clean lens", "waits to repeat"))], YEAR, MARCH)
    assert standing_sentence(missed) == (
        "Not yet, at the observation of 07 Mar 2026: clean lens; waits to repeat to be seen again."
    )


def test_every_standing_says_what_to_do_and_none_says_failed():
    for stands in Stands:
        assert stands.sentence.endswith(".") and "fail" not in stands.sentence.lower()


@pytest.mark.parametrize("wrong", [{"months": 0}, {"soon_days": -1}])
def test_a_rule_that_holds_for_no_time_is_refused(wrong):
    with pytest.raises(ValueError):
        Rule(**wrong)
