"""The roster of the coming weeks: everybody on it once, believable weeks, the same for the same seed."""

import re
from datetime import date

import numpy as np
import pytest

from browline.shifts import USUAL
from browline.synthetic import invent, upcoming_roster

MONDAY = date(2026, 11, 30)


@pytest.fixture(scope="module")
def house():
    return invent(3000, seed=2).house


@pytest.fixture(scope="module")
def roster(house):
    return upcoming_roster(house.people, house.wards, MONDAY, seed=2)


def _cells(roster):
    return np.array([column for name, column in roster.items() if name[:2] == "20"], dtype=object)


def test_everybody_but_the_educator_is_on_it_once(house, roster):
    assert list(roster["Staff no"]) == list(house.people.id[:-1])
    assert len(set(roster["Name"])) == len(roster["Name"])


def test_there_is_a_column_for_each_day_of_four_weeks(roster):
    days = [name for name in roster if name[:2] == "20"]
    assert len(days) == 28 and days[0] == "2026-11-30" and days[-1] == "2026-12-27"


def test_every_code_is_one_of_the_trade(roster):
    codes = {re.sub(r" \(.*\)", "", cell) for cell in _cells(roster).ravel()}
    assert codes <= set(USUAL) and {"LD", "N", "E", "L", "AL", "-"} <= codes


def test_nobody_works_more_than_five_shifts_a_week(roster):
    for week in _cells(roster).reshape(4, 7, -1):
        worked = ((week != "-") & (week != "AL")).sum(axis=0)
        assert worked.max() <= 5


def test_some_float_to_a_ward_that_is_not_their_own(house, roster):
    found = 0
    for column in _cells(roster):
        for home, cell in zip(roster["Ward"], column, strict=True):
            if "(" in cell:
                found += 1
                assert home not in cell and any(f"({ward})" in cell for ward in house.wards.name)
    assert found


def test_the_same_seed_gives_the_same_roster(house, roster):
    again = upcoming_roster(house.people, house.wards, MONDAY, seed=2)
    other = upcoming_roster(house.people, house.wards, MONDAY, seed=3)
    assert all(np.array_equal(again[name], roster[name]) for name in roster)
    assert not np.array_equal(_cells(other), _cells(roster))
