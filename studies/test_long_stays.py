"""What the length of a stay costs: seconds a pass for stays of 50, 500 and 5,000 readings, as many readings in all."""

from time import perf_counter

import numpy as np

from browline.variation.stays.adjoint import adjoint
from browline.variation.stays.columns import Columns, Factor, columns
from browline.variation.stays.course import course
from browline.variation.stays.passes import sums

READINGS, INSTRUMENTS, A_STAY = 100_000, 200, 5
LENGTHS = (50, 500, 5_000)
TIMES = 3
MOST_TIMES_AS_LONG = 2.0


def stays(length: int) -> Columns:
    """Stays of `length` readings, each read with five instruments of the fleet at two sites."""
    rng = np.random.default_rng(length)
    stay = np.repeat(np.arange(READINGS // length), length)
    own = rng.integers(0, INSTRUMENTS, (READINGS // length, A_STAY))
    instrument = own[stay, rng.integers(0, A_STAY, READINGS)]
    site = rng.integers(0, 2, READINGS)
    x = np.column_stack([np.ones(READINGS), site, rng.normal(size=(READINGS, 4))])
    time = np.tile(np.cumsum(rng.exponential(4.0, length)), READINGS // length)
    return columns(
        rng.normal(size=READINGS), x, [Factor("instrument", instrument, INSTRUMENTS)], stay, time, site=site
    )


def seconds(one) -> float:
    """The least of a few runs."""
    taken = []
    for _ in range(TIMES):
        begun = perf_counter()
        one()
        taken.append(perf_counter() - begun)
    return min(taken)


def test_a_reading_costs_the_same_in_a_long_stay():
    at = course(1, 2)
    q = INSTRUMENTS + 6
    covariance, direction = np.eye(q) / 100, np.append(np.zeros(q), 1.0)
    print(f"\n{READINGS:,} readings in all; seconds a pass, least of {TIMES}")
    print(f"{'readings a stay':>16} {'stays':>7} {'sums':>8} {'slopes':>8}")
    table = []
    for length in LENGTHS:
        made = stays(length)
        sums(made, at), adjoint(made, at, covariance, direction)
        row = (
            seconds(lambda m=made: sums(m, at)),
            seconds(lambda m=made: adjoint(m, at, covariance, direction)),
        )
        print(f"{length:>16,} {made.stays:>7,} {row[0]:>8.3f} {row[1]:>8.3f}")
        table.append(row)
    for first, last in zip(table[0], table[-1], strict=True):
        assert last < MOST_TIMES_AS_LONG * first
