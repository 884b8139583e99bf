"""The checklist that comes with the program, and its shape."""

from datetime import date, timedelta

import pytest

from browline.competency import checklist
from browline.competency.attempts import Past, next_try, renewed_until
from browline.controlled import checked
from browline.errors import NotUnderstood

BODY = checked(checklist.LAYOUT, checklist.default())
STEPS = {step.id: step for step in checklist.read(BODY).steps}

# What practice calls critical, from the trade and judgement ("suggested critical: any miss = not yet"); common
# practice, no source. One line here for each step of the list.
SUGGESTED = {
    "right-patient", "site", "forehead", "lens", "path", "hold", "behind-ear", "repeat", "doubt", "charts", "cleans",
}  # fmt: skip


def test_the_default_fills_its_own_shape():
    assert checked(checklist.LAYOUT, BODY) == BODY


def test_the_critical_steps_are_those_that_practice_suggests():
    assert {id for id, step in STEPS.items() if step.critical} == SUGGESTED


def test_what_the_instrument_decides_is_marked_the_touch_behind_the_ear_among_it():
    assert {"behind-ear", "path", "hold", "cleans"} <= {id for id, step in STEPS.items() if step.depends}


def test_every_step_says_what_why_what_to_say_and_where_it_comes_from():
    for step in STEPS.values():
        assert step.does and step.why and "Say:" in step.say and step.source, step.id


def test_a_step_can_be_judged_by_looking():
    # A published six-step sheet asks for "proper technique" and cannot be judged: words like that stand nowhere.
    for step in STEPS.values():
        assert not {"proper", "properly", "correct", "correctly", "appropriate"} & set(
            step.does.lower().split()
        )


def test_three_tries_on_different_days_is_the_rule_until_another_is_set():
    # A common rule of schools of nursing: three attempts on different days, two assessors at the third.
    read = checklist.read(BODY)
    assert (read.tries, read.days_between, read.renewal_months) == (3, 1, 12)


def test_two_steps_of_one_mark_are_refused():
    twice = {**BODY, "rows": [*BODY["rows"], BODY["rows"][0]]}
    with pytest.raises(NotUnderstood, match="right-patient"):
        checked(checklist.LAYOUT, twice)


def test_a_rule_below_the_least_is_read_as_the_least():
    head = {**BODY["head"], "tries": 0.0, "days_between": -2.0, "renewal_months": 0.0}
    read = checklist.read({**BODY, "head": head})
    assert (read.tries, read.days_between, read.renewal_months) == (1, 0, 1)


@pytest.mark.parametrize(
    "wrong",
    [
        {"renewal_months": 120_000},
        {"renewal_months": 1.5},
        {"renewal_months": 0},
        {"days_between": 1e10},
        {"tries": 0},
    ],
)
def test_a_rule_that_no_hospital_could_mean_is_refused_in_words(wrong):
    with pytest.raises(NotUnderstood, match="It is a whole number from"):
        checked(checklist.LAYOUT, {**BODY, "head": {**BODY["head"], **wrong}})


@pytest.mark.parametrize("far", [1e10, 120_000.0, float("inf"), float("nan"), 1.5])
def test_an_older_version_with_a_rule_out_of_range_still_gives_days(far):
    """Versions are never written over, so one from before the check goes on being read."""
    head = {**BODY["head"], "tries": far, "days_between": far, "renewal_months": far}
    read = checklist.read({**BODY, "head": head})
    seen = date(2026, 3, 2)
    assert seen < renewed_until(seen, read.renewal_months) <= date(2036, 3, 2)
    assert next_try([Past(seen, "not-yet")], read, seen).earliest <= seen + timedelta(days=90)


def test_a_checklist_without_a_critical_step_is_refused():
    checklist.check(BODY)
    rows = [{**row, "critical": False} for row in BODY["rows"]]
    with pytest.raises(NotUnderstood, match="No step is critical"):
        checklist.check({**BODY, "rows": rows})
