"""Agreement against printed tables, statsmodels, small changes of the table, and simulation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa

from browline.competency.explain_scores import agreement_sentences, coefficient_sentences
from browline.competency.interrater import Outcome, cohen, gwet, solve
from browline.quantities.shares import Z95

# Coefficients of published tables: the two larger come with the R package irrCAC (worked out by hand from its
# files), [19 10; 6 256] and [596 61; 29 987] are printed in the manual of the R package epiR, the others are
# textbook tables worked out by hand.
ABSTRACTORS = [[13, 0, 0], [0, 20, 7], [0, 4, 56]]
FOUR = [[40, 6, 4, 15], [4, 25, 1, 5], [4, 2, 21, 9], [17, 13, 12, 45]]
TABLES = [
    (ABSTRACTORS, 0.89, 0.79641, 0.84933, 5e-6),
    (FOUR, 0.58744, 0.43150, 0.45616, 5e-6),
    ([[19, 10], [6, 256]], None, 0.674, None, 5e-4),
    ([[596, 61], [29, 987]], None, 0.886, None, 5e-4),
    ([[20, 5], [10, 15]], 0.70, 0.400, None, 5e-4),
    ([[118, 5], [2, 0]], 0.944, -0.023, 0.941, 5e-4),
    ([[40, 9], [6, 45]], 0.85, 0.700, 0.701, 5e-4),
    ([[80, 10], [5, 5]], 0.85, 0.318, 0.808, 5e-4),
]


@pytest.mark.parametrize(
    ("table", "why"),
    [
        ([[118, 5], [2, 0]], "97 %"),
        ([[80, 10], [5, 5]], "88 %"),
        # About one judgement against two: the coefficients lie 0.2 apart, and this is not why.
        ([[24, 6], [9, 6]], None),
        ([[66, 0], [20, 14]], None),
        # A lopsided margin of few pairs.
        ([[18, 2], [1, 0]], None),
        ([[40, 9], [6, 45]], None),
    ],
)
def test_a_margin_is_named_as_the_cause_only_where_it_is_lopsided_and_pairs_are_enough(table, why):
    said = coefficient_sentences(solve(table))
    assert bool(said) is (why is not None)
    assert why is None or why in said[0]


def test_no_word_of_statistics_on_the_face():
    for table in ([[118, 5], [2, 0]], [[40, 9], [6, 45]], [[9, 3], [0, 0]], [[5, 0], [0, 0]]):
        assert "kappa" not in " ".join(agreement_sentences(solve(table))).lower()
    assert not any("coefficient" in outcome.sentence or "kappa" in outcome.sentence for outcome in Outcome)


@pytest.mark.parametrize(("table", "raw", "kappa", "ac1", "within"), TABLES)
def test_published_and_textbook_tables(table, raw, kappa, ac1, within):
    found = solve(table)
    assert found.kappa.value == pytest.approx(kappa, abs=within)
    assert raw is None or found.raw == pytest.approx(raw, abs=within)
    assert ac1 is None or found.ac1.value == pytest.approx(ac1, abs=within)


def test_standard_errors_of_kappa_as_printed():
    """0.0589 and 0.0460 beside the two tables of irrCAC, worked out by the published formula."""
    assert solve(ABSTRACTORS).kappa.se == pytest.approx(0.0589, abs=1e-4)
    assert solve(FOUR).kappa.se == pytest.approx(0.0460, abs=1e-4)


def test_the_printed_interval_of_epir_is_the_one_under_no_agreement():
    """0.56 to 0.79 in print comes from the error were there no agreement; around 0.674 itself it is wider."""
    table = np.array([[19.0, 10.0], [6.0, 256.0]])
    without = cohens_kappa(table).std_kappa0
    assert [0.674 - Z95 * without, 0.674 + Z95 * without] == pytest.approx([0.56, 0.79], abs=0.006)
    found = solve(table).kappa
    assert found.low < 0.56 and found.high > 0.79


counts = st.lists(st.integers(0, 60), min_size=4, max_size=4).map(lambda c: [c[:2], c[2:]])


@given(counts.filter(lambda t: sum(map(sum, t)) > 0))
def test_kappa_and_its_standard_error_are_those_of_statsmodels(table):
    found, p = solve(table).kappa, np.array(table) / np.sum(table)
    if p.sum(1) @ p.sum(0) == 1:
        assert found.value is None
        return
    with np.errstate(all="ignore"):
        theirs = cohens_kappa(np.array(table, dtype=float))
    assert found.value == pytest.approx(theirs.kappa, abs=1e-9)
    # A variance that rounding brings under nought has no root there; ours is then nought.
    assert found.se == pytest.approx(np.sqrt(max(0.0, theirs.var_kappa)), abs=1e-6)


def spread_by_small_changes(of, p, step=1e-6):
    """n times the variance by the delta method, its slopes from small changes of the table."""
    slopes = np.zeros_like(p)
    for cell in np.ndindex(p.shape):
        up, down = p.copy(), p.copy()
        up[cell] += step
        down[cell] -= step
        slopes[cell] = (of(up)[0] - of(down)[0]) / (2 * step)
    return (p * slopes**2).sum() - (p * slopes).sum() ** 2


def free_ac1(p):
    """AC1 of a table whose shares need not sum to one, each taken of the sum."""
    return gwet(p / p.sum())


@pytest.mark.parametrize("table", [t for t, *_ in TABLES])
def test_the_variance_of_ac1_is_that_of_the_delta_method(table):
    p = np.array(table) / np.sum(table)
    assert gwet(p)[1] == pytest.approx(spread_by_small_changes(free_ac1, p), rel=1e-5, abs=1e-9)


@pytest.mark.parametrize("table", [t for t, *_ in TABLES])
def test_the_variance_of_kappa_is_that_of_the_delta_method(table):
    p = np.array(table) / np.sum(table)
    spread = spread_by_small_changes(lambda t: cohen(t / t.sum()), p)
    assert cohen(p)[1] == pytest.approx(spread, rel=1e-5, abs=1e-9)


@given(counts)
def test_turning_the_table_round_changes_neither_coefficient(table):
    turned = [[table[1][1], table[1][0]], [table[0][1], table[0][0]]]
    one, other = solve(table), solve(turned)
    assert one.kappa.value == pytest.approx(other.kappa.value) and one.ac1.value == pytest.approx(
        other.ac1.value
    )


@given(counts.filter(lambda t: sum(map(sum, t)) > 0))
def test_an_interval_holds_only_what_can_be(table):
    for c in (solve(table).kappa, solve(table).ac1):
        if c.value is not None:
            assert -1 <= c.low <= c.high <= 1


@pytest.mark.parametrize("n", [10, 20, 40, 100])
@pytest.mark.parametrize(
    "shares",
    [[0.85, 0.05, 0.04, 0.06], [0.6, 0.1, 0.1, 0.2], [0.4, 0.1, 0.05, 0.45], [0.7, 0.02, 0.02, 0.26]],
)
def test_the_intervals_hold(shares, n):
    """By simulation: 93.7 in 100 or more of 20,000 draws, here three standard errors less for 600.

    The plain interval holds as seldom as 27 times in 100, with ten pairs of the first setting.
    """
    rng = np.random.default_rng(n)
    truth = np.array(shares).reshape(2, 2)
    kappa, ac1 = cohen(truth)[0], gwet(truth)[0]
    drawn = [solve(rng.multinomial(n, shares).reshape(2, 2)) for _ in range(600)]
    for true, found in ((kappa, [d.kappa for d in drawn]), (ac1, [d.ac1 for d in drawn])):
        told = [c for c in found if c.low is not None]
        assert np.mean([c.low - 1e-9 <= true <= c.high + 1e-9 for c in told]) >= 0.907


def test_ten_pairs_that_all_agree_are_not_said_to_be_certain():
    found = solve([[8, 0], [0, 2]])
    assert found.kappa.value == 1 and found.kappa.se == pytest.approx(0)
    assert found.kappa.low < 0.6 and found.ac1.low < 0.8 and found.raw_low < 0.75 and found.few


def test_every_outcome_is_reached():
    assert solve([[0, 0], [0, 0]]).outcome is Outcome.NONE
    assert solve([[3, 1], [0, 2]]).outcome is Outcome.TOO_FEW
    assert solve([[30, 0], [0, 0]]).outcome is Outcome.ONE_KIND
    assert solve([[118, 5], [2, 0]]).outcome is Outcome.LOPSIDED
    assert solve([[40, 9], [6, 45]]).outcome is Outcome.TOLD


def test_with_one_kind_kappa_cannot_be_worked_out_and_ac1_can():
    found = solve([[30, 0], [0, 0]])
    assert found.kappa.value is None and found.kappa.low is None and found.ac1.value == 1


def test_prevalence_and_bias():
    """Byrt, Bishop and Carlin's indices, by their definition: (a - d)/n and (b - c)/n."""
    found = solve([[80, 10], [5, 5]])
    assert found.prevalence == pytest.approx(0.75) and found.bias == pytest.approx(0.05)
    assert solve(ABSTRACTORS).bias is None


@pytest.mark.parametrize("table", [[[1, 2, 3], [4, 5, 6]], [[1]], [[-1, 0], [0, 1]], [[0.5, 1], [1, 1]]])
def test_what_is_no_table_is_refused(table):
    with pytest.raises(ValueError):
        solve(table)


def test_the_interval_is_of_the_table_with_halves_added():
    """Worked through by hand for [3 1; 1 5], 10 pairs: the table [3.5 1.5; 1.5 5.5] of 12."""
    p = np.array([[3.5, 1.5], [1.5, 5.5]]) / 12
    middle, spread = (9 / 12 - (25 + 49) / 144) / (1 - (25 + 49) / 144), cohen(p)[1]
    found = solve([[3, 1], [1, 5]]).kappa
    assert (found.low + min(found.high, 1)) / 2 == pytest.approx(middle) or found.high == 1
    assert found.low == pytest.approx(middle - Z95 * np.sqrt(spread / 12))
