"""Average run lengths against every published value we have, and against simulation.

Values marked *own* are our own earlier solution of the same equation with other node counts: they catch drift.
Tables marked *seen* were read in the help pages of an independent package for run lengths.
"""

import numpy as np
import pytest

from browline.audit.overtime import integral
from browline.audit.overtime.runlength import (
    cusum,
    cusum_one_sided,
    ewma,
    in_words,
    limit_for,
    shewhart,
)
from browline.errors import Refusal

SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5)
LUCAS_CROSIER = (168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71, 1.31)
WITH_HEAD_START = (149, 62.7, 20.1, 8.97, 5.29, 2.86, 2.01, 1.59, 1.32, 1.07, 1.01)
LUCAS_SACCUCCI_SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5)
LUCAS_SACCUCCI = {
    (0.5, 3.071): (500, 255, 88.8, 35.9, 17.5, 6.53, 3.63, 2.50, 1.93, 1.58, 1.34, 1.07),
    (0.03, 2.437): (500, 76.7, 29.3, 17.6, 12.6, 8.07, 5.99, 4.80, 4.03, 3.49, 3.11, 2.55),
}
FAST_START = {
    (0.5, 3.071): (487, 86.1, 15.9, 2.87, 1.45, 1.01),
    (0.03, 2.437): (406, 18.4, 7.36, 3.43, 2.34, 1.57),
}
CROWDER = {
    0.5: (26.45, 20.12, 11.89, 7.29, 4.91),
    0.05: (127.53, 43.94, 18.97, 11.64, 8.38),
}


def last_digit(value):
    """Half a unit of the third figure, as the tables round, and a little for their coarser methods."""
    return 0.7 * 10 ** (np.floor(np.log10(value)) - 2)


@pytest.mark.parametrize(("shift", "published"), list(zip(SHIFTS, LUCAS_CROSIER, strict=True)))
def test_cusum_lucas_crosier_1982_table_1(shift, published):
    """Seen. 1.31 for shift 5 is printed; 1.31 comes out."""
    assert cusum(4.0, 0.5, shift) == pytest.approx(published, abs=last_digit(published))


@pytest.mark.parametrize(("shift", "published"), list(zip(SHIFTS, WITH_HEAD_START, strict=True)))
def test_cusum_with_half_head_start_lucas_crosier_1982_table_1(shift, published):
    """Seen."""
    assert cusum(4.0, 0.5, shift, 0.5) == pytest.approx(published, abs=last_digit(published))


@pytest.mark.parametrize(
    ("shift", "own"),
    list(zip(SHIFTS, (465.4, 139.5, 38.0, 17.05, 10.38, 5.75, 4.01, 3.11, 2.57, 2.01, 1.69), strict=True)),
)
def test_cusum_of_limit_5(shift, own):
    """Own; the common textbook table has 465, 139, 38.0, 17.0, 10.4 (from memory)."""
    assert cusum(5.0, 0.5, shift) == pytest.approx(
        own, abs=0.06 if own > 100 else 0.051 if own == 38.0 else 0.006
    )


@pytest.mark.parametrize(("shift", "published"), [(0.0, 117.59), (1.5, 3.75)])
def test_one_sided_cusum_brook_evans_1972(shift, published):
    """Seen; theirs is a Markov chain. Own: 117.596, 3.749."""
    assert cusum_one_sided(3.0, 0.5, shift) == pytest.approx(published, abs=0.01)


@pytest.mark.parametrize(
    ("shift", "published"),
    [
        (-0.25, 2071.51),
        (-0.125, 400.28),
        (0, 124.66),
        (0.125, 59.30),
        (0.25, 36.71),
        (0.5, 20.37),
        (1, 10.75),
    ],
)
def test_one_sided_cusum_vance_1986(shift, published):
    """Seen: Vance 1986, J Qual Technol 18:189-193, Table 1, k = 0, h = 10."""
    assert cusum_one_sided(10.0, 0.0, shift) == pytest.approx(published, abs=0.011, rel=1e-4)


@pytest.mark.parametrize(("shift", "published"), [(-0.5, 1963), (0, 117.4), (0.5, 17.35)])
def test_one_sided_cusum_waldmann_1986(shift, published):
    """Seen: Waldmann 1986, Technometrics 28:61-67; bounds, so to 0.3 %."""
    assert cusum_one_sided(3.0, 0.5, shift) == pytest.approx(published, rel=0.003)


def test_two_sided_cusum_waldmann_1986():
    """Seen: the same, Table 6; a bound cut off after one decimal."""
    assert cusum(3.0, 0.6, -0.2) == pytest.approx(65.4, abs=0.1)


@pytest.mark.parametrize(
    ("reference", "limit", "own", "own_after"),
    [
        (0.25, 8.01, 370.3, 11.41),
        (0.5, 4.77, 368.6, 9.92),
        (0.75, 3.34, 370.6, 10.88),
        (1.0, 2.52, 372.8, 13.58),
        (1.25, 1.99, 373.5, 18.03),
        (1.5, 1.61, 376.3, 24.14),
    ],
)
def test_cusum_hawkins_pairs(reference, limit, own, own_after):
    """The pairs for about 370 are Hawkins's (from memory); the run lengths own."""
    assert cusum(limit, reference) == pytest.approx(own, abs=0.06)
    assert cusum(limit, reference) == pytest.approx(370, rel=0.02)
    assert cusum(limit, reference, 1.0) == pytest.approx(own_after, abs=0.006)


@pytest.mark.parametrize(
    ("shift", "own"), list(zip(SHIFTS, (370.3, 83.8, 28.8, 16.4, 11.4, 7.12, 5.22), strict=False))
)
def test_cusum_of_reference_one_quarter(shift, own):
    """Own."""
    assert cusum(8.01, 0.25, shift) == pytest.approx(own, rel=0.005)


def test_cusum_sas_qc_1999():
    """Seen: 4.1500836225, with head start 0.1 4.1061588131, two-sided 4.1500826715."""
    assert cusum_one_sided(8.0, 0.25, 2.5) == pytest.approx(4.1500836225, rel=1e-6)
    assert cusum_one_sided(8.0, 0.25, 2.5, 0.1 / 8) == pytest.approx(4.1061588131, rel=1e-6)
    assert cusum(8.0, 0.25, 2.5) == pytest.approx(4.1500826715, rel=1e-6)


@pytest.mark.parametrize(
    ("design", "shift", "published"),
    [(d, s, v) for d, row in LUCAS_SACCUCCI.items() for s, v in zip(LUCAS_SACCUCCI_SHIFTS, row, strict=True)],
)
def test_ewma_lucas_saccucci_1990_table_3(design, shift, published):
    """Seen."""
    smoothing, limit = design
    assert ewma(limit, smoothing, shift) == pytest.approx(published, abs=last_digit(published))


@pytest.mark.parametrize(
    ("design", "shift", "published"),
    [(d, s, v) for d, row in FAST_START.items() for s, v in zip((0, 0.5, 1, 2, 3, 5), row, strict=True)],
)
def test_ewma_with_half_head_start_lucas_saccucci_1990_table_5(design, shift, published):
    """Seen. Theirs is a coarse Markov chain: 487 where the equation and simulation give 493 (next test)."""
    smoothing, limit = design
    assert ewma(limit, smoothing, shift, 0.5) == pytest.approx(published, rel=0.013)


@pytest.mark.parametrize(("smoothing", "limit", "n"), [(0.5, 3.071, 20000), (0.2, 2.86, 20000)])
def test_ewma_with_half_head_start_by_simulation(smoothing, limit, n):
    """Two EWMAs side by side, started half way up and half way down."""
    rng = np.random.default_rng(4)
    c = limit * np.sqrt(smoothing / (2 - smoothing))
    up, down, alive, lengths, t = np.full(n, c / 2), np.full(n, -c / 2), np.arange(n), np.zeros(n), 0
    while len(alive):
        t += 1
        z = rng.standard_normal(len(alive))
        up, down = (1 - smoothing) * up + smoothing * z, (1 - smoothing) * down + smoothing * z
        over = (up > c) | (down < -c)
        lengths[alive[over]] = t
        alive, up, down = alive[~over], up[~over], down[~over]
    assert abs(lengths.mean() - ewma(limit, smoothing, 0.0, 0.5)) < 4 * lengths.std() / np.sqrt(n)


@pytest.mark.parametrize(
    ("smoothing", "shift", "published"),
    [(k, s, v) for k, row in CROWDER.items() for s, v in zip((0, 0.25, 0.5, 0.75, 1), row, strict=True)],
)
def test_ewma_crowder_1987_table_1(smoothing, shift, published):
    """Seen: Crowder 1987, Technometrics 29:401-407, limit 2."""
    assert ewma(2.0, smoothing, shift) == pytest.approx(published, abs=0.006)


@pytest.mark.parametrize(
    ("smoothing", "limit", "own_after"),
    [
        (0.4, 3.054, 14.26),
        (0.25, 2.998, 11.14),
        (0.2, 2.962, 10.54),
        (0.1, 2.814, 10.33),
        (0.05, 2.615, 11.38),
    ],
)
def test_ewma_designs_for_500(smoothing, limit, own_after):
    """Designs of the common textbook (from memory); run length after a shift own."""
    assert ewma(limit, smoothing) == pytest.approx(500, rel=0.006)
    assert ewma(limit, smoothing, 1.0) == pytest.approx(own_after, abs=0.006)


@pytest.mark.parametrize(("smoothing", "limit", "own"), [(0.2, 2.86, 371), (0.1, 2.7, 369)])
def test_ewma_designs_for_370(smoothing, limit, own):
    """Own."""
    assert ewma(limit, smoothing) == pytest.approx(own, abs=0.6)


def test_ewma_sas_qc_1999():
    """Seen: 11.154267016."""
    assert ewma(3.0, 0.25, 1.0) == pytest.approx(11.154267016, rel=1e-9)


@pytest.mark.parametrize(
    ("smoothing", "published"), [(0.05, 2.32), (0.1, 2.55), (0.15, 2.65), (0.2, 2.72), (0.25, 2.76)]
)
def test_ewma_limits_for_250_crowder_1989(smoothing, published):
    """Seen: Crowder 1989, J Qual Technol 21:155-162."""
    assert limit_for(250, lambda limit: ewma(limit, smoothing)) == pytest.approx(published, abs=0.006)


@pytest.mark.parametrize(
    ("shift", "own"), [(0, 370.4), (0.5, 155.2), (1, 43.9), (1.5, 15.0), (2, 6.30), (3, 2.00)]
)
def test_shewhart(shift, own):
    """Own: the normal tail; an EWMA that forgets everything is the same chart."""
    assert shewhart(3.0, shift) == pytest.approx(own, abs=0.051)
    assert ewma(3.0, 1.0, shift) == pytest.approx(shewhart(3.0, shift), rel=1e-9)


def test_more_nodes_change_nothing(monkeypatch):
    """Order of convergence: the error is past the ninth figure."""
    charts = [
        lambda: cusum(4.77),
        lambda: cusum(8.01, 0.25, 1.0, 0.5),
        lambda: ewma(2.437, 0.03),
        lambda: ewma(2.86, 0.2, 0.5, 0.5),
    ]
    before = [chart() for chart in charts]
    cusum_one_sided.cache_clear()
    ewma.cache_clear()
    monkeypatch.setattr(integral, "NODES", 80)
    monkeypatch.setattr(integral, "NODES_PER_SD", 4)
    assert [chart() for chart in charts] == pytest.approx(before, rel=1e-9)


def test_a_cusum_by_simulation():
    """Independent of the equation: both sums run point by point."""
    rng = np.random.default_rng(5)
    n = 20000
    high, low, alive, lengths, t = np.full(n, 2.0), np.full(n, 2.0), np.arange(n), np.zeros(n), 0
    while len(alive):
        t += 1
        z = rng.standard_normal(len(alive)) + 0.25
        high, low = np.maximum(0, high + z - 0.5), np.maximum(0, low - z - 0.5)
        over = np.maximum(high, low) > 4.0
        lengths[alive[over]] = t
        alive, high, low = alive[~over], high[~over], low[~over]
    assert abs(lengths.mean() - cusum(4.0, 0.5, 0.25, 0.5)) < 4 * lengths.std() / np.sqrt(n)


@pytest.mark.parametrize("run_length", [100.0, 370.0, 500.0, 5000.0])
def test_a_limit_gives_the_run_length_it_was_asked_for(run_length):
    assert cusum(limit_for(run_length, cusum)) == pytest.approx(run_length, rel=1e-6)
    assert shewhart(limit_for(run_length, shewhart)) == pytest.approx(run_length, rel=1e-6)


def test_limits_of_the_hawkins_pairs_are_found_again():
    """From memory: k = 0.5 and h = 4.77 for 370, k = 0.25 and h = 8.01."""
    assert limit_for(370, cusum) == pytest.approx(4.77, abs=0.006)
    assert limit_for(370, lambda h: cusum(h, 0.25)) == pytest.approx(8.01, abs=0.006)


@pytest.mark.parametrize(
    ("run_length", "said"),
    [
        (370.4, "on average one false alarm in 370 points"),
        (2071.5, "on average one false alarm in 2,100 points"),
        (9.9, "on average one false alarm in 10 points"),
        (np.inf, "on average less than one false alarm in a million points"),
    ],
)
def test_run_lengths_are_said_in_words(run_length, said):
    assert in_words(run_length) == said


@pytest.mark.parametrize(
    "asked",
    [
        lambda: cusum(0.0),
        lambda: cusum(4.0, head_start=1.0),
        lambda: cusum(4.0, head_start=0.7),
        lambda: ewma(3.0, 0.0),
        lambda: ewma(3.0, 1.2),
        lambda: ewma(-1.0),
        lambda: limit_for(1.0, cusum),
        lambda: limit_for(float("inf"), shewhart),
    ],
)
def test_what_no_chart_can_be_is_refused(asked):
    with pytest.raises(Refusal):
        asked()
