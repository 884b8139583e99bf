"""How many charts, which ones, and the interval on the result."""

import numpy as np
import pytest
from scipy.stats import hypergeom
from statsmodels.stats.proportion import proportion_confint

from browline.audit.sample import allocation, charts_needed, draw, interval


def width(n: float, expected: float) -> float:
    """Half the width of a general library's Wilson interval around an expected share of n."""
    low, high = proportion_confint(expected * n, n, method="wilson")
    return float(high - low) / 2


@pytest.mark.parametrize("expected", [0.0, 0.05, 0.2, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("half", [0.02, 0.05, 0.1, 0.3])
def test_the_number_is_the_fewest_that_are_precise_enough(half: float, expected: float) -> None:
    """Independent code: the Wilson interval of statsmodels."""
    n = charts_needed(half, expected)
    assert width(n, expected) <= half + 1e-9
    assert n == 1 or width(n - 1, expected) > half


def test_the_published_table_is_met_but_for_what_wilson_saves() -> None:
    """Practice, section 9: expected 50 %, total width 0.10 about 384, 0.20 about 96, by the normal formula.

    Wilson needs z² = 3.84 fewer where half are expected, and more for 95 ± 5 % than the normal formula's 73.
    """
    for half, normal in ((0.05, 384), (0.10, 96)):
        assert charts_needed(half) == int(np.ceil(normal + 0.15 - 3.84))
    assert int(np.ceil(1.959964**2 * 0.95 * 0.05 / 0.05**2)) == 73
    assert charts_needed(0.05, 0.95) == 83


def test_few_charts_in_all_need_fewer_looked_at_and_never_more_than_there_are() -> None:
    assert charts_needed(0.05, population=10**9) == charts_needed(0.05)
    assert [charts_needed(0.05, population=n) for n in (1, 2, 50, 400, 5000)] == sorted(
        charts_needed(0.05, population=n) for n in (1, 2, 50, 400, 5000)
    )
    for population in (1, 2, 10, 50, 400, 5000):
        n = charts_needed(0.05, population=population)
        assert n <= population
        low, high = interval(round(n / 2), n, population)
        assert high - low <= 0.1 + 1e-9
    assert charts_needed(0.05, population=100) < 100


@pytest.mark.parametrize(
    ("found", "of", "low", "high"), [(27, 30, 0.74, 0.97), (9, 10, 0.60, 0.98), (90, 100, 0.83, 0.94)]
)
def test_the_interval_is_the_published_one(found: int, of: int, low: float, high: float) -> None:
    """Practice, section 9, and independent code. The practice has 95 % for the last upper end; Wilson's is 94.5."""
    assert tuple(round(x, 2) for x in interval(found, of)) == pytest.approx((low, high), abs=0.0051)
    assert interval(found, of) == pytest.approx(proportion_confint(found, of, method="wilson"))


@pytest.mark.parametrize(("population", "looked_at"), [(40, 10), (120, 60), (300, 250)])
def test_with_few_charts_in_all_the_interval_still_holds_the_truth(population: int, looked_at: int) -> None:
    """Enumeration: every true number of charts, every sample, weighed by the hypergeometric law (scipy)."""
    found = np.arange(looked_at + 1)
    ends = np.array([interval(int(f), looked_at, population) for f in found])
    covered = []
    for true in range(population + 1):
        chance = hypergeom.pmf(found, population, true, looked_at)
        share = true / population
        covered.append(chance[(ends[:, 0] <= share + 1e-12) & (share <= ends[:, 1] + 1e-12)].sum())
    assert np.mean(covered) > 0.945
    narrow = np.diff(ends, axis=1).mean()
    assert narrow < 0.95 * np.mean([np.diff(interval(int(f), looked_at)) for f in found])
    assert np.mean(np.array(covered) > 0.90) > 0.95


def test_when_all_were_looked_at_nothing_is_left_open() -> None:
    assert interval(7, 10, 10) == (0.7, 0.7)
    assert interval(0, 0) == (0.0, 1.0)
    low, high = interval(1, 19, 20)
    assert low >= 1 / 20 and high <= 2 / 20
    assert interval(14, 15, 20)[1] == 19 / 20  # one of the 20 is known not to


def test_the_loosest_wish_still_looks_at_one_chart() -> None:
    assert charts_needed(0.5) == charts_needed(0.5, population=1) == charts_needed(0.7) == 1


@pytest.mark.parametrize("wrong", [(4, 3, None), (-1, 3, None), (3, 10, 9)])
def test_a_share_of_nothing_is_refused(wrong: tuple[int, int, int | None]) -> None:
    with pytest.raises(ValueError, match="is not a share"):
        interval(*wrong)
    with pytest.raises(ValueError, match="is no share"):
        charts_needed(0.0)
    with pytest.raises(ValueError, match="cannot be drawn"):
        draw([5], 0, np.random.default_rng(1))


def test_the_same_seed_draws_the_same_charts_and_another_seed_others() -> None:
    a, b, c = (draw([500, 300], 40, np.random.default_rng(seed)) for seed in (1, 1, 2))
    assert a.place.tolist() == b.place.tolist() and a.stratum.tolist() == b.stratum.tolist()
    assert a.place.tolist() != c.place.tolist()


def test_nothing_is_drawn_twice_and_stand_ins_come_last_from_the_same_strata() -> None:
    drawn = draw([200, 50, 3], 100, np.random.default_rng(5))
    keys = set(zip(drawn.stratum.tolist(), drawn.place.tolist(), strict=True))
    assert len(keys) == len(drawn)
    assert (np.diff(drawn.stand_in.astype(int)) >= 0).all()
    assert np.bincount(drawn.stratum[~drawn.stand_in]).tolist() == allocation([200, 50, 3], 100).tolist()
    assert np.bincount(drawn.stratum[drawn.stand_in]).tolist() == [8, 2, 2]
    assert (drawn.place < np.array([200, 50, 3])[drawn.stratum]).all()
    everything = draw([5, 4], 99, np.random.default_rng(1))
    assert len(everything) == 9 and not everything.stand_in.any()


def test_every_chart_is_as_likely_as_any_other() -> None:
    """Counts over 4,000 draws of 6 of 30 against the binomial law, four standard errors."""
    rng, times = np.random.default_rng(8), np.zeros(30)
    first = np.zeros(30)
    for _ in range(4000):
        drawn = draw([30], 6, rng)
        times[drawn.place[~drawn.stand_in]] += 1
        first[drawn.place[drawn.stand_in][0]] += 1
    assert np.abs(times - 800).max() < 4 * np.sqrt(4000 * 0.2 * 0.8)
    assert np.abs(first - 4000 / 30).max() < 4 * np.sqrt(4000 / 30)


def test_shares_over_wards_are_proportional_and_none_is_left_out() -> None:
    assert allocation([500, 300, 200], 10).tolist() == [5, 3, 2]
    assert allocation([997, 1, 1, 1], 6).tolist() == [3, 1, 1, 1]
    assert allocation([10, 10, 10], 2).sum() == 2
    assert allocation([3, 0, 2], 99).tolist() == [3, 0, 2]
    rng = np.random.default_rng(3)
    for _ in range(200):
        sizes, count = rng.integers(0, 400, 12), int(rng.integers(12, 300))
        out = allocation(sizes.tolist(), count)
        assert out.sum() == min(count, sizes.sum()) and (out <= sizes).all() and (out[sizes > 0] >= 1).all()
        due = count * sizes / sizes.sum()
        assert (np.abs(out - due)[due >= 1] <= 1 + 12 * due[due >= 1] / count).all()
