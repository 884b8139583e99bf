"""Files of people's temperatures go on; row numbers, pulses, haematocrits, rooms and water baths stop.

The made files follow the ranges that handbooks give for these patients and things (from memory, no source found).
"""

import numpy as np
import pytest

from browline.errors import Doubted, NotPeoples
from browline.intake import CANNOT_BE, MENDED, Picture, doubt, read_value
from browline.intake.likeness import band_counts

RNG = np.random.default_rng(12)


def picture(texts, declared=None):
    """The picture of a column of cells, each read as the import reads it."""
    reads = [read_value(text, declared) for text in texts]
    values = [r.celsius for r in reads if r.reason is None]
    low, middle, high = np.quantile(values, [0.02, 0.5, 0.98]) if values else (0.0, 0.0, 0.0)
    return Picture(
        band_counts(values),
        sum(r.reason in CANNOT_BE for r in reads),
        sum(bool(set(r.repairs) & set(MENDED)) for r in reads if r.reason is None),
        low,
        middle,
        high,
    )


def normal(mean, spread, n, digits=1):
    return [f"{v:.{digits}f}" for v in RNG.normal(mean, spread, n)]


HONEST = {
    "wards": lambda n: normal(36.8, 0.5, n),
    "theatre": lambda n: normal(35.8, 0.7, n),
    "newborns": lambda n: normal(36.9, 0.25, n),
    "cooled": lambda n: normal(33.2, 0.4, n),
    "cooled beside others": lambda n: normal(33.2, 0.5, n // 2) + normal(37.2, 0.8, n // 2),
    "a fever clinic": lambda n: normal(38.6, 0.9, n),
    "whole degrees": lambda n: normal(36.9, 0.5, n, 0),
    "Fahrenheit": lambda n: normal(98.2, 0.9, n),
    "one instrument": lambda n: normal(36.4, 0.3, n),
    "lost in the cold": lambda n: normal(36.8, 0.5, n - n // 20) + normal(28.0, 0.6, n // 20),
    "some typed oddly": lambda n: normal(36.8, 0.5, n - n // 10) + ["367"] * (n // 20) + ["3.7"] * (n // 20),
}


@pytest.mark.parametrize("n", [25, 60, 240, 3000])
@pytest.mark.parametrize("make", HONEST.values(), ids=HONEST)
def test_an_honest_file_is_not_stopped(make, n):
    for _ in range(5):
        assert doubt(picture(make(n))) is None


POISON = {
    "row numbers": lambda n: [str(i) for i in range(1, n + 1)],
    "pulses": lambda n: normal(84, 12, n, 0),
    "haematocrits": lambda n: normal(36, 6, n),
    "a fridge": lambda n: normal(4.5, 1.5, n),
    "a hot room": lambda n: normal(26.5, 0.8, n),
    "a water bath": lambda n: normal(37.0, 0.05, n, 2),
    "ages": lambda n: [str(v) for v in RNG.integers(1, 95, n)],
}


@pytest.mark.parametrize("make", POISON.values(), ids=POISON)
def test_what_is_not_people_stops_and_cannot_be_insisted_on(make):
    stop = doubt(picture(make(600)))
    assert isinstance(stop, NotPeoples)
    assert "Wanted are temperatures of people" in str(stop) and "36 to 37 °C:" in str(stop)


def test_a_short_file_unlike_people_is_asked_about():
    assert isinstance(doubt(picture(normal(26.5, 0.8, 30))), Doubted)


def test_three_values_are_too_few_to_be_asked_about():
    assert doubt(picture(["4", "5", "6"])) is None


@pytest.mark.parametrize(("mended", "stops"), [(10, False), (11, True)])
def test_more_than_a_tenth_in_the_other_unit_is_asked_about(mended, stops):
    texts = normal(36.8, 0.5, 100 - mended) + normal(98.2, 0.8, mended)
    stop = doubt(picture(texts, "C"))
    assert isinstance(stop, Doubted) is stops
    if stop:
        assert "11 of 100 values were taken only after a mend" in str(stop) and "--these-are-people" in str(
            stop
        )


def test_a_change_of_form_is_no_mend():
    texts = [t.replace(".", ",") + " °C" for t in normal(36.8, 0.5, 100)]
    assert doubt(picture(texts, "C")) is None


def test_numbers_without_any_unit_are_no_mend():
    assert doubt(picture(normal(36.8, 0.5, 50) + normal(98.2, 0.8, 50))) is None
