"""When a battery may run out: against counts drawn by lot, against scipy's own distribution, and its plain cases."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy.stats import nbinom

from browline.instruments import BATTERY_READINGS, Charted, Entry, Power, Problem, Sighted, forecast, solve
from browline.instruments.battery import Draw

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)


HUNDRED_A_DAY = Charted(5600, 56.0)


def battery(*looks, charted=HUNDRED_A_DAY, lasts=None):
    """`looks`: (days ago, word)."""
    seen = tuple(
        Sighted.from_words("FS-07", NOW - timedelta(days=days), "present", battery=word)
        for days, word in looks
    )
    stated = {} if lasts is None else {"": lasts}
    problem = Problem(
        NOW, (Entry("FS-07"),), seen, charted={"FS-07": charted} if charted else {}, battery_readings=stated
    )
    return solve(problem).batteries["FS-07"]


@pytest.mark.parametrize(
    "least, most, shape, days, t", [(0, 40, 12.5, 7.0, 10.0), (20, 60, 30.5, 7.0, 9.0), (5, 6, 0.5, 1.0, 3.0)]
)
def test_the_chance_is_the_mean_of_scipys_tail(least, most, shape, days, t):
    """Summed over every R by scipy.stats.nbinom, an independent code for P(N >= k)."""
    p = days / (days + t)
    tails = nbinom.sf(np.arange(least, most), shape, p)
    assert Draw(least, most, shape, days).out_by(t) == pytest.approx(tails.mean(), rel=1e-9)


def test_the_chance_is_that_of_batteries_drawn_by_lot():
    rng = np.random.default_rng(11)
    rate = rng.gamma(80.5, 1 / 20.0, 200_000)
    lasts = rng.integers(101, 301, 200_000)
    out = rng.poisson(rate * 45.0) >= lasts
    assert Draw(100, 300, 80.5, 20.0).out_by(45.0) == pytest.approx(
        out.mean(), abs=4 * 0.5 / np.sqrt(200_000)
    )


def test_the_days_by_which_it_is_out_turn_the_chance_round():
    draw = Draw(0, 15_000, 5600.5, 56.0)
    for chance in (0.05, 0.5, 0.95):
        assert draw.out_by(draw.when(chance)) == pytest.approx(chance, abs=1e-3)
    assert Draw(0, 15_000, 20.5, 56.0).when(0.95) == float("inf")


@pytest.mark.parametrize("word", ["low", "dead"])
def test_low_or_dead_is_now(word):
    assert battery((5, "ok"), (1, word)).outcome is Power.NOW


def test_nothing_is_said_of_one_that_nobody_looked_at():
    assert battery().outcome is Power.NOT_LOOKED


@pytest.mark.parametrize("charted", [None, Charted(19, 56.0), Charted(500, 6.0)])
def test_too_few_to_tell(charted):
    found = battery((1, "ok"), charted=charted)
    assert found.outcome is Power.TOO_FEW and found.earliest is None and "too few" in forecast(found).lower()


def test_a_fresh_battery_lasts_its_readings():
    """15,000 readings (taught, no source found) at 100 a day: about 150 days, give or take three tenths."""
    assert BATTERY_READINGS == 15_000
    found = battery((0, "new"))
    days = [(day - NOW.date()).days for day in (found.earliest, found.likely, found.latest)]
    assert days == pytest.approx([110, 150, 191], abs=4)
    assert found.outcome is Power.LASTS and found.chance == pytest.approx(0.0, abs=1e-9)


def test_good_again_after_low_means_a_new_one_was_put_in():
    again, noted = battery((50, "low"), (49, "ok"), (1, "ok")), battery((49, "new"), (1, "ok"))
    assert again.fresh and (again.earliest, again.likely) == (noted.earliest, noted.likely)


def test_one_of_unknown_age_is_said_as_widely_as_it_is_known():
    found = battery((1, "ok"))
    assert not found.fresh and (found.latest - found.earliest).days > 120
    assert "nobody noted when it was new" in forecast(found)


def test_having_lasted_is_counted_for_it():
    """Good for 140 days at 100 a day it holds at least 14,000 readings: what is left reaches further than at first."""
    first, later = battery((140, "new")), battery((140, "new"), (0, "ok"))
    assert later.earliest >= NOW.date() > first.earliest and later.latest >= first.latest
    assert first.outcome is Power.SOON and later.chance == pytest.approx(7 / 55, abs=0.01)


def test_one_that_outlasts_every_expectation_is_to_be_changed():
    found = battery((400, "new"), (0, "ok"))
    assert found.outcome is Power.OUTLASTED and found.to_do


def test_what_a_model_lasts_can_be_stated():
    usual, short = battery((0, "new")), battery((0, "new"), lasts=5500)
    assert (short.likely - NOW.date()).days == pytest.approx(55, abs=2) and short.likely < usual.likely


def test_the_interval_holds_the_day_as_often_as_it_says():
    """400 fresh batteries run down by lot at a rate learnt from 56 days before: 90 in 100 end inside."""
    rng, inside = np.random.default_rng(5), 0
    for _ in range(400):
        rate = rng.gamma(9.0, 4.0)
        draw = Draw(1050, 1950, rng.poisson(rate * 56.0) + 0.5, 56.0)
        end = rng.gamma(rng.integers(1051, 1951), 1 / rate)
        inside += draw.when(0.05) <= end <= draw.when(0.95)
    assert inside / 400 == pytest.approx(0.9, abs=0.045)
