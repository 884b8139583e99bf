"""People are listed only where they look like people: more than 10 AND more than 5 % beyond 1 °C means a wrong file."""

from dataclasses import replace

import numpy as np
import pytest
from invented_readings import Truth, readings

from browline.readings import Readings
from browline.variation import Problem, findings, limits, solve
from browline.variation.limitations import LOG_IN
from browline.variation.unlike import Unlike, unlike_people


@pytest.mark.parametrize(
    "beyond,of,unlike",
    [(10, 20, False), (11, 220, False), (11, 219, True), (11, 11, True), (0, 0, False), (40, 5000, False)],
)
def test_more_than_ten_and_more_than_one_in_twenty(beyond, of, unlike):
    offsets = [1.01, -1.01] * beyond + [1.0] * of
    assert (unlike_people(offsets[:beyond] + offsets[2 * beyond :][: of - beyond]) is not None) is unlike


def charts(in_the_other_unit):
    """Forty people; with some, every value is another thing than a body temperature, some degrees away."""
    r = readings(8000, instruments=8, people=40, wards=4, seed=3, truth=Truth())
    away = np.where(r.codes["person"] < in_the_other_unit, np.where(r.codes["person"] % 2, 2.5, -2.5), 0.0)
    return Readings(r.time, r.hour, r.value + away, r.codes, r.names, r.row)


def test_a_file_that_is_not_peoples_lists_nobody():
    result = solve(Problem.from_readings(charts(14)))
    assert result.unlike == Unlike(14, 40)
    found = findings(result, people=True)
    assert not [f for f in found if f.subject_type == "person" or "technique of" in f.sentence]
    said = limits(result, people=True)
    assert said[0].startswith("Look at the file: 14 of the 40 people who charted lie more than 1 °C")
    assert "unit" in said[0] and "body temperature" in said[0] and LOG_IN not in said
    assert said[0] in limits(result)


def test_a_few_far_off_are_still_offered_help():
    result = solve(Problem.from_readings(charts(2)))
    assert result.unlike is None
    assert {f.subject_id for f in findings(result, people=True)} >= {"N000", "N001"}
    assert LOG_IN in limits(result, people=True)


def test_unlike_is_told_of_everybody_compared():
    result = solve(Problem.from_readings(charts(2)))
    eleven = tuple(replace(result.people[0], offset_c=1.2) for _ in range(11))
    assert replace(result, people=eleven).unlike == Unlike(11, 11)
