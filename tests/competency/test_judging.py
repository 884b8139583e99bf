"""What marks come to: enumerated whole for small checklists, by hand in words for the default one."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.competency.checklist import STEPS, Step
from browline.competency.judging import DONE, MARKS, MISSED, NOT_SEEN, NOT_YET, SIGNED_OFF, judge, whole
from browline.errors import NotUnderstood

ALL_DONE = {step.id: DONE for step in STEPS}


@st.composite
def scored(draw):
    """A checklist of one to eight steps, any of them critical, and marks for some of them."""
    ticks = draw(st.lists(st.booleans(), min_size=1, max_size=8))
    steps = tuple(Step(f"s{i}", f"step {i}", "does it", critical=tick) for i, tick in enumerate(ticks))
    marks = {s.id: draw(st.sampled_from(list(MARKS))) for s in steps if draw(st.booleans())}
    return steps, marks


def test_every_way_of_marking_one_critical_and_one_other_step():
    """Enumeration: 9 ways; signed off only where the critical one is done."""
    steps = (Step("c", "critical one", "", critical=True), Step("o", "other one", ""))
    for critical, other in product(MARKS, MARKS):
        expected = SIGNED_OFF if critical == DONE else NOT_YET
        assert judge(steps, {"c": critical, "o": other}).outcome == expected, (critical, other)


@given(scored())
def test_signed_off_means_no_critical_step_is_missed_or_unseen(given_):
    steps, marks = given_
    critical_done = all(marks.get(s.id) == DONE for s in steps if s.critical)
    assert (judge(steps, marks).outcome == SIGNED_OFF) == (critical_done and DONE in marks.values())


@given(scored())
def test_a_step_that_turns_out_missed_never_helps(given_):
    steps, marks = given_
    before = judge(steps, marks).outcome
    for step in steps:
        if judge(steps, {**marks, step.id: MISSED}).outcome == SIGNED_OFF:
            assert before == SIGNED_OFF or not step.critical
        if before == NOT_YET:
            assert judge(steps, {**marks, step.id: MISSED}).outcome == NOT_YET


@given(scored())
def test_a_step_left_out_was_not_seen(given_):
    steps, marks = given_
    assert judge(steps, marks) == judge(steps, whole(steps, marks))


@given(scored())
def test_the_sentence_opens_with_the_outcome_and_names_every_step_that_decided(given_):
    steps, marks = given_
    judged = judge(steps, marks)
    assert judged.sentence.startswith("Signed off" if judged.outcome == SIGNED_OFF else "Not yet")
    if DONE in marks.values() or MISSED in marks.values():
        assert all(step.name in judged.sentence for step in judged.again + judged.missed_other)


def test_a_critical_miss_and_one_not_seen_are_told_apart():
    judged = judge(STEPS, {**ALL_DONE, "path": MISSED, "behind-ear": NOT_SEEN, "reads": MISSED})
    assert judged.outcome == NOT_YET
    assert judged.sentence == (
        "Not yet: to be practised and seen again on another day: straight path, in touch. "
        "Not yet: critical and not seen, so it cannot be signed off: behind the ear. "
        "Worth a word: reads it out."
    )
    assert [step.id for step in judged.again] == ["path", "behind-ear"]


def test_a_miss_that_is_not_critical_is_a_word_of_teaching():
    judged = judge(STEPS, {**ALL_DONE, "start": MISSED})
    assert (judged.outcome, judged.sentence) == (
        SIGNED_OFF,
        "Signed off. Worth a word: middle of the forehead.",
    )


def test_nobody_is_said_to_have_failed():
    for mark in MARKS:
        assert "fail" not in judge(STEPS, dict.fromkeys(ALL_DONE, mark)).sentence.lower()


def test_a_checklist_without_critical_steps_signs_nobody_off_unseen():
    steps = (Step("a", "one", ""), Step("b", "two", ""))
    assert judge(steps, {}).outcome == NOT_YET
    assert judge(steps, {"a": MISSED}).sentence.startswith(
        "Not yet: no step was seen to be done. Worth a word"
    )


@pytest.mark.parametrize("marks", [{"dance": DONE}, {"path": "perhaps"}])
def test_strange_steps_and_marks_are_refused(marks):
    with pytest.raises(NotUnderstood):
        judge(STEPS, marks)
