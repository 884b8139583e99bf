"""Demonstrations of the invented hospital: tries on different days, nobody assesses themselves, steps are learnt."""

from collections import defaultdict
from datetime import date, timedelta

import pytest

from browline.synthetic import invent
from browline.synthetic.observed import MISSED, assessors, observed

STEPS = tuple(f"step-{k}" for k in range(14))
LAST = date(2026, 11, 25)


@pytest.fixture(scope="module")
def people():
    return invent(60_000, seed=2).house.people


@pytest.fixture(scope="module")
def seen(people):
    return observed(people, STEPS, STEPS[:10], LAST, seed=2)


def _by_person(seen):
    out = defaultdict(list)
    for one in seen:
        out[one.person].append(one)
    return out


def test_assessors_are_of_different_wards_and_the_educator_is_one(people):
    able = assessors(people, seed=2)
    assert able[0] == people.educator and len({int(people.ward[k]) for k in able[1:]}) == len(able) - 1


def test_nobody_assesses_themselves_or_twice_the_same(people, seen):
    able = set(assessors(people, seed=2))
    assert not able & {one.person for one in seen}
    for one in seen:
        assert {one.assessor, one.second, one.again} - {None} <= able
        assert one.assessor not in (one.second, one.again)


def test_tries_lie_on_different_days_within_the_weeks(seen):
    for tries in _by_person(seen).values():
        days = [one.time.date() for one in tries]
        assert len(set(days)) == len(days) and days == sorted(days)
        assert LAST - timedelta(weeks=9) < days[0] and days[-1] <= LAST


def test_a_next_try_follows_only_what_was_not_whole(seen):
    for tries in _by_person(seen).values():
        for one in tries[:-1]:
            assert any(one.marks[step] == MISSED for step in STEPS[:10])


def test_the_last_try_has_a_second_assessor(seen):
    third = [tries[2] for tries in _by_person(seen).values() if len(tries) == 3]
    assert all(one.second is not None for one in third)


def test_fewer_steps_are_missed_later(seen):
    missed = defaultdict(list)
    for tries in _by_person(seen).values():
        for k, one in enumerate(tries):
            missed[k] += [mark == MISSED for mark in one.marks.values()]
    assert 0 < sum(missed[1]) / len(missed[1]) < sum(missed[0]) / len(missed[0])


def test_second_scores_mostly_agree(seen):
    pairs = [(one.marks[s], one.scores[s]) for one in seen if one.scores for s in STEPS]
    assert len(pairs) > 200 and 0.95 < sum(a == b for a, b in pairs) / len(pairs) < 1
