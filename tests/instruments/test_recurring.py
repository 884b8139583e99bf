"""Instruments that recur, and causes counted out, against exact counting, hand arithmetic and simulation."""

from fractions import Fraction
from itertools import product
from math import comb

import numpy as np
import pytest

from browline.instruments import Basis, Counted, Questioned, pareto, recurring, reportable_wards
from browline.instruments.recurring import ADVICE, FEWEST, Outcome
from browline.instruments.recurring_text import (
    CANNOT_SAY,
    REFUSAL,
    Bias,
    headline,
    overall_sentence,
    recurrence_sentence,
    rule,
)

FLEET = tuple(f"FS-{n:02d}" for n in range(1, 21))


def _tail(x, total, share):
    """P(X >= x) for Binomial(total, share), in whole fractions."""
    return sum(comb(total, k) * share**k * (1 - share) ** (total - k) for k in range(x, total + 1))


def _of(found, name):
    return next(one for one in found.instruments if one.instrument == name)


def test_the_chance_is_that_of_every_way_the_questions_could_fall():
    """Enumeration: 5 questions over 3 instruments with parts 1, 2, 3, every one of 3^5 ways with its weight."""
    parts, weights = {"a": 1, "b": 2, "c": 3}, (Fraction(1, 6), Fraction(2, 6), Fraction(3, 6))
    chance = Fraction(0)
    for fall in product(range(3), repeat=5):
        if fall.count(0) >= 4:
            weight = Fraction(1)
            for which in fall:
                weight *= weights[which]
            chance += weight
    one = _of(recurring(Questioned({"a": 4, "b": 1}, parts)), "a")
    assert one.p == pytest.approx(float(chance)) and one.expected == pytest.approx(5 / 6)
    assert chance == _tail(4, 5, Fraction(1, 6))


def test_flags_are_those_of_the_step_of_benjamini_and_hochberg():
    """The step by hand: with p in order, the last k with p_k <= k q / m; Benjamini and Hochberg 1995 (from memory)."""
    counts = {**dict.fromkeys(FLEET, 1), "FS-01": 9, "FS-02": 8, "FS-03": 8, "FS-04": 7}
    found = recurring(Questioned(counts, dict.fromkeys(FLEET, 1.0), false_share=0.10))
    total = sum(counts.values())
    tails = sorted(_tail(n, total, Fraction(1, 20)) for n in counts.values())
    passed = max(k for k, p in enumerate(tails, 1) if p <= Fraction(k, 10 * 20))
    alone = sum(p <= Fraction(1, 10 * 20) for p in tails)
    assert sorted(one.instrument for one in found.flagged) == list(FLEET[:passed]) and passed > alone > 0


@pytest.mark.parametrize("lines", [12, 60, 300])
def test_false_flags_stay_under_the_share_when_all_are_alike(lines):
    """500 made periods of 20 instruments, used very unequally: any flag at all is false. Bound with 3 of its sd."""
    rng = np.random.default_rng(20261125 + lines)
    parts = dict(zip(FLEET, rng.uniform(0.2, 3.0, 20), strict=True))
    shares = np.array(list(parts.values())) / sum(parts.values())
    runs = rng.multinomial(lines, shares, size=500)
    wrong = sum(
        bool(_flags(dict(zip(FLEET, map(int, run), strict=True)), parts)) for run in np.unique(runs, axis=0)
    )
    assert wrong / len(runs) <= 0.10 + 3 * (0.1 * 0.9 / 500) ** 0.5


def test_the_false_share_holds_beside_true_ones_and_true_ones_are_found():
    """Two of twenty are questioned six times as often: false flags among flags, and how often both are named."""
    rng = np.random.default_rng(6)
    rates = np.r_[6.0, 6.0, np.ones(18)]
    shares, told, both = [], [], 0
    for run in rng.multinomial(90, rates / rates.sum(), size=400):
        flags = _flags(dict(zip(FLEET, map(int, run), strict=True)), dict.fromkeys(FLEET, 1.0))
        false = len([name for name in flags if name not in FLEET[:2]])
        shares.append(false / max(1, len(flags)))
        both += set(FLEET[:2]) <= set(flags)
        told.append(len(flags))
    assert np.mean(shares) <= 0.10
    assert both / 400 > 0.8


def _flags(counts, parts):
    return [one.instrument for one in recurring(Questioned(counts, parts)).flagged]


def test_two_are_never_enough_and_nor_is_less_than_twice_the_even_part():
    parts = dict.fromkeys(FLEET, 1e3) | {"FS-01": 1e-3}
    assert FEWEST == 3 and _flags({"FS-01": 2}, parts) == [] and _flags({"FS-01": 3}, parts) == ["FS-01"]
    many = dict.fromkeys(FLEET, 1000) | {"FS-01": 1900}
    assert _flags(many, dict.fromkeys(FLEET, 1.0)) == []
    assert _flags(many | {"FS-01": 2300}, dict.fromkeys(FLEET, 1.0)) == ["FS-01"]


def test_too_few_to_tell_is_said_where_five_times_as_often_could_be_missed():
    """Against the definition: the chance that one with five times its part reaches the least count flagged alone."""
    for total in (6, 30, 42, 52, 58, 90, 94, 200):
        counts = dict(zip(FLEET, [total // 20] * 20, strict=True))
        counts["FS-20"] += total - sum(counts.values())
        one = _of(recurring(Questioned(counts, dict.fromkeys(FLEET, 1.0))), "FS-05")
        level = Fraction(1, 10 * 20)
        beyond = next(x for x in range(total + 2) if _tail(x, total, Fraction(1, 20)) <= level)
        least = max(beyond, 3, -(-2 * total // 20))
        more = Fraction(5, 5 + 19)
        seen = _tail(least, total, more) >= Fraction(8, 10)
        assert one.least == least and one.outcome is (Outcome.NOT_SEEN if seen else Outcome.TOO_FEW), total


def test_one_without_a_part_or_alone_is_not_compared():
    for parts in ({"a": 1, "b": 1}, {"a": 1, "b": 1, "X": 0}):
        found = recurring(Questioned({"X": 9, "a": 1}, parts))
        assert _of(found, "X").outcome is Outcome.NOT_COMPARED and found.compared == 2
    alone = recurring(Questioned({"a": 9}, {"a": 1}))
    assert alone.total == 0 and alone.instruments[0].outcome is Outcome.NOT_COMPARED
    assert recurring(Questioned({}, {})).instruments == ()


@pytest.mark.parametrize("wrong", [{"counts": {"a": -1}}, {"parts": {"a": -1.0}}, {"false_share": 0.0}])
def test_what_is_no_count_is_refused(wrong):
    with pytest.raises(ValueError):
        Questioned(**({"counts": {}, "parts": {}} | wrong))


def test_causes_add_up_and_those_of_one_or_two_lines_stand_together():
    found = pareto({"damp": 20, "lens": 6, "drink": 2, "path": 1, "lag": 0})
    assert [(b.cause, b.n) for b in found.bars] == [("damp", 20), ("lens", 6), ("", 3)] and found.pooled == 2
    assert [b.cumulative for b in found.bars] == pytest.approx([20 / 29, 26 / 29, 1.0])
    assert sum(b.n for b in found.bars) == found.total == 29


def test_a_cause_leads_only_where_chance_would_hardly_put_it_so_far_ahead():
    """Sign test of the first against the second, exact: 2 * sum C(n, k) / 2^n, at 0.05 over three other causes."""
    for first, second in ((10, 9), (14, 4), (15, 4), (16, 3)):
        n = first + second
        p = min(1.0, 2 * sum(comb(n, k) for k in range(first, n + 1)) / 2**n)
        found = pareto({"damp": first, "lens": second, "drink": 3, "lag": 3})
        assert found.outcome is (Counted.LEADS if p <= 0.05 / 3 else Counted.NO_LEADER), (first, second, p)


def test_nine_lines_are_not_counted_out():
    assert pareto({"damp": 9}).outcome is Counted.TOO_FEW and pareto({"damp": 9}).bars == ()
    assert pareto({"damp": 10}).bars[0].n == 10


def test_wards_left_over_cannot_be_read_off_the_whole():
    assert reportable_wards({"Larch": 30, "Maple": 20, "Rowan": 10}) == ("Larch", "Maple", "Rowan")
    assert reportable_wards({"Larch": 30, "Maple": 20, "Rowan": 9}) == ("Larch",)
    assert reportable_wards({"Larch": 30, "Maple": 20, "Rowan": 2, "": 3}) == ("Larch",)
    assert reportable_wards({"Larch": 30, "Maple": 20, "Rowan": 6, "": 6}) == ("Larch", "Maple")
    assert reportable_wards({"": 50}) == ()


def test_nothing_said_estimates_an_error_or_takes_an_instrument_away_without_another():
    found = recurring(Questioned({"FS-01": 8, "FS-02": 1}, dict.fromkeys(FLEET, 1.0)))
    one = found.flagged[0]
    every = [
        overall_sentence(found),
        recurrence_sentence(one, 13),
        *ADVICE.values(),
        *CANNOT_SAY,
        *(b.value for b in Basis),
    ]
    assert all("fail" not in text.lower() and "°" not in text for text in every)
    assert "0.3 °C (0.5 °F) from the one accepted" in rule(13, 0.10, 0.3) and "fail" not in rule(
        13, 0.10, 0.3
    )
    assert ADVICE[Outcome.RECURS].startswith("Bring a spare") and "planned side-by-side pairs" in REFUSAL
    assert [b.name for b in Bias] == ["NOT_FROM_THESE"] and "cannot be" in REFUSAL and "80,065" in REFUSAL
    assert "0.45" not in recurrence_sentence(
        one, 13
    ) and "about 0.5 would be its even part" in recurrence_sentence(one, 13)


def test_the_causes_in_a_sentence():
    assert headline(pareto({"damp": 20, "lens": 5})) == (
        "The commonest cause is “damp or sweating”: 20 of 25 lines, 80 % (likely range 61 % to 91 %)."
    )
    assert "too few to say which" in headline(pareto({"damp": 6, "lens": 5}))
    assert headline(pareto({"not-found": 20})).startswith("Most often the cause was not found: 20 of 20")
    assert headline(pareto({})).startswith("Fewer than 10 lines")
