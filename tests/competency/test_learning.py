"""The learning-curve CUSUM against an exact enumeration, printed facts, and what it must and must not say."""

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.competency.explain_scores import learning_sentences
from browline.competency.learning import Design, Limit, Outcome, limit, peaks, shortest, solve

EVEN = Design(p0=0.1, d=0.1, attempts=50)


def exact(design, h, miss):
    """Chance of reaching h within the attempts: every score with its probability, pair by pair of counts.

    A score is known by the successes and misses since it was last nought, so the states are few.
    """
    states, reached = {(0, 0): 1.0}, 0.0
    for _ in range(design.attempts):
        after = defaultdict(float)
        for (done, missed), p in states.items():
            for step, chance in (((done + 1, missed), 1 - miss), ((done, missed + 1), miss)):
                score = step[0] * design.gain + step[1] * design.loss
                if score >= h - 1e-12:
                    reached += p * chance
                else:
                    after[step if score > 0 else (0, 0)] += p * chance
        states = after
    return reached


# Worked out beforehand from 200,000 runs each, by other code than this; d = 0.1 above p0 = 0.1.
SIMULATED = [
    (50, 1.25, 0.10, 0.972),
    (50, 1.25, 0.20, 0.653),
    (50, 2.0, 0.10, 0.800),
    (50, 2.0, 0.20, 0.234),
    (100, 1.25, 0.10, 0.9996),
    (100, 1.25, 0.20, 0.902),
    (100, 2.0, 0.10, 0.982),
    (100, 2.0, 0.20, 0.485),
]


@pytest.mark.parametrize(("attempts", "h", "miss", "chance"), SIMULATED)
def test_the_chance_of_a_signal(attempts, h, miss, chance):
    design = Design(0.1, 0.1, attempts=attempts)
    # Three standard errors of 200,000 runs are 0.0034 at most.
    assert exact(design, h, miss) == pytest.approx(chance, abs=0.0035)
    ours = np.mean(peaks(design, miss, np.random.default_rng(7), 20_000) >= h)
    assert ours == pytest.approx(chance, abs=0.012)


def test_the_scores_and_shortest_runs():
    """Worked out by hand: log(0.9/0.8) and log(0.1/0.2); 11 successes reach 1.25, 17 reach 2.0."""
    assert EVEN.gain == pytest.approx(0.11778, abs=5e-6) and EVEN.loss == pytest.approx(-0.69315, abs=5e-6)
    assert (shortest(EVEN, 1.25), shortest(EVEN, 2.0)) == (11, 17)


def test_the_printed_min_could_never_signal():
    """One printed form is S = min(0, S + W) with scores that rise on success: it stays at nought or under."""
    score = 0.0
    for _ in range(100):
        score = min(0.0, score + EVEN.gain)
    assert score == 0.0
    assert solve([True] * 50, EVEN, Limit(2.0, 0.05, 0.8, 1)).shown_at == 17


def test_scores_by_hand():
    """Two done, one missed, two done: 0.11778, 0.23557, 0 (not -0.45758), 0.11778, 0.23557."""
    curve = solve([True, True, False, True, True], EVEN, Limit(0.2, 0, 0, 1))
    assert curve.scores == pytest.approx((0.11778, 0.23557, 0, 0.11778, 0.23557), abs=1e-5)
    assert curve.shown_at == 2


@pytest.mark.parametrize("design", [Design(), EVEN, Design(0.1, 0.2, 20), Design(0.05, 0.25, 10)])
def test_the_limit_is_the_smallest_that_keeps_the_promise(design):
    found = limit(design, np.random.default_rng(1), paths=20_000)
    if found.h is None:
        pytest.skip("so few attempts have no limit")
    near = 3 * np.sqrt(design.false * (1 - design.false) / 20_000)
    assert exact(design, found.h, design.p0 + design.d) <= design.false + near
    assert found.false == pytest.approx(exact(design, found.h, design.p0 + design.d), abs=near)
    assert found.power == pytest.approx(exact(design, found.h, design.p0), abs=0.012)
    levels = np.unique(peaks(design, design.p0 + design.d, np.random.default_rng(2), 20_000))
    below = levels[levels < found.h - 1e-9].max()
    assert exact(design, below, design.p0 + design.d) > design.false - near


def test_a_few_attempts_have_no_limit():
    """Five in a row happen 0.6^5 = 7.8 times in 100 to one who misses two in five: never under 5 in 100."""
    found = limit(Design(attempts=5), np.random.default_rng(1))
    assert found.h is None
    assert solve([True] * 5, Design(attempts=5), found).outcome is Outcome.TOO_FEW
    assert learning_sentences(solve([True], Design(attempts=5), found), Design(attempts=5), found) == (
        "5 tries cannot show it, whatever comes of them. Intend more.",
    )


FOUND = limit(Design(), np.random.default_rng(1))


def test_every_outcome_is_reached():
    ten = shortest(Design(), FOUND.h)
    assert solve([True] * (ten - 1), Design(), FOUND).outcome is Outcome.TOO_FEW
    assert solve([True] * ten, Design(), FOUND).outcome is Outcome.SHOWN
    assert solve([True, False] * ten, Design(), FOUND).outcome is Outcome.NOT_SHOWN


def test_the_words_of_one_shown():
    ten = shortest(Design(), FOUND.h)
    said = learning_sentences(solve([True] * ten, Design(), FOUND), Design(), FOUND)
    assert said[0] == f"Shown at try {ten}." and "in 40 % of tries" in said[-1]


def test_the_words_of_too_few_say_how_many():
    said = learning_sentences(solve([True], Design(), FOUND), Design(), FOUND)
    assert said[0].startswith("Too few tries to tell") and said[1] == "At the least 10 in a row are needed."


@given(st.lists(st.booleans(), max_size=20), st.integers(0, 19))
def test_a_success_in_place_of_a_miss_never_lowers_a_score(attempts, place):
    if place >= len(attempts):
        return
    better = [*attempts[:place], True, *attempts[place + 1 :]]
    pairs = zip(solve(attempts, Design(), FOUND).scores, solve(better, Design(), FOUND).scores, strict=True)
    assert all(b >= a - 1e-12 for a, b in pairs)


@given(st.lists(st.booleans(), max_size=45))
def test_once_shown_it_stays_shown_at_the_same_try(attempts):
    told = [solve(attempts[:n], Design(), FOUND).shown_at for n in range(len(attempts) + 1)]
    first = next((at for at in told if at is not None), None)
    assert all(at in (None, first) for at in told) and (first is None or None not in told[first:])


def test_what_comes_after_the_tries_intended_shows_nothing():
    late = solve([False] * 20 + [True] * 30, Design(), FOUND)
    assert (late.outcome, late.shown_at, late.later, len(late.scores)) == (Outcome.NOT_SHOWN, None, 30, 20)
    said = learning_sentences(late, Design(), FOUND)
    assert said[0].startswith("The 20 tries intended are behind: not shown within them.")


def test_a_try_past_those_intended_does_not_take_back_that_it_was_shown():
    said = learning_sentences(solve([True] * 10 + [False] * 11, Design(), FOUND), Design(), FOUND)
    assert said[0] == "The 20 tries intended are behind: shown at try 10."
    assert said[1].startswith("Shown: somebody who still needs practice would seldom get so far.")


@pytest.mark.parametrize("asked", [{"p0": 0}, {"d": 0}, {"p0": 0.6, "d": 0.5}, {"attempts": 0}, {"false": 1}])
def test_a_design_that_asks_nothing_is_refused(asked):
    with pytest.raises(ValueError, match="asks nothing"):
        Design(**asked)
