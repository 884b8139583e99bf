"""Readings unlikely to have been measured count once, month by month, apart from those of flagged instruments."""

from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest

from browline.services.review.supplement import _unlikely_by_month
from browline.store.models import Review
from browline.synthetic.many_wards import many_wards


@pytest.fixture
def readings():
    return many_wards(np.random.default_rng(1), wards=3, readings=400).readings


def _flag(kind, name, since=None):
    return SimpleNamespace(subject_type=kind, subject_id=name, since=since, unit="C", key="k")


def test_each_doubt_stands_in_the_month_of_its_reading(book, readings):
    measured = np.full(len(readings), 0.75, np.float32)
    found = _unlikely_by_month(readings, [], measured)
    months = (readings.time * 3600).astype("datetime64[s]").astype("datetime64[M]")
    assert sum(found.values()) == pytest.approx(0.25 * len(readings))
    assert found == {
        np.datetime64(m, "D").item(): pytest.approx(0.25 * (months == m).sum()) for m in np.unique(months)
    }
    assert all(isinstance(month, date) and month.day == 1 for month in found)


def test_readings_of_a_flagged_ward_or_put_right_are_not_counted_again(book, readings):
    measured = np.full(len(readings), 0.5, np.float32)
    whole = sum(_unlikely_by_month(readings, [], measured).values())
    ward = readings.names["ward"][1]
    rest = sum(_unlikely_by_month(readings, [_flag("ward", ward)], measured).values())
    assert whole - rest == pytest.approx(200)
    later = date(2400, 1, 1)
    assert sum(_unlikely_by_month(readings, [_flag("ward", ward, later)], measured).values()) == whole


def test_the_review_counts_them_beside_the_other_reasons(hospital):
    months = Review.objects.first().supplement["months"]
    assert any(m["why"]["unlikely"] for m in months)
    assert all(m["unreliable"] <= m["readings"] for m in months)
