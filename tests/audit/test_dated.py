"""What is told of readings and weeks in one pass: against plain loops, and against what was planted."""

from dataclasses import replace

import numpy as np
import pytest

from browline import audit
from browline.audit.onset import _weekly
from browline.audit.probability_measured import probabilities
from browline.audit.result import Outcome
from browline.audit.value_tests import run_value_tests
from browline.synthetic.many_wards import many_wards
from browline.synthetic.plant import Plant
from browline.weeks import weeks

EVERY = ("value-spike", "copied-values", "round-batch")


def _looked(charting="C"):
    """Four wards, each with a favoured value, copies and batches to find; and what was found."""
    plant = Plant(spike=(36.0, 0.1), copies=0.1, batches=0.1)
    made = many_wards(
        np.random.default_rng(2), wards=4, readings=900, charting=charting, plant=plant
    ).readings
    problem = audit.Problem(made.take(np.argsort(made.time, kind="stable")))
    return problem, [run_value_tests(problem, table) for table in problem.tables]


def _honest(excess):
    return np.float32(min(1.0, excess.expected / max(excess.observed, 1.0)))


def _by_loops(problem, looked, seen):
    """The chance of each reading, looked up one by one."""
    out = np.ones(len(problem.readings), np.float32)
    value = problem.charted.value
    for at in looked:
        for s in (*at.spikes.first, *at.spikes.more):
            for row, place in zip(at.table.which, at.table.place, strict=True):
                if ("value-spike", problem.wards[s.ward]) in seen and (problem.ward[row], place) == (
                    s.ward,
                    s.place,
                ):
                    out[row] *= _honest(s.excess)
        told = [("copied-values", c, at.copy_pairs) for c in at.copies]
        told += [("round-batch", c, at.batch_pairs) for c in at.batches]
        for test, c, pairs in told:
            for one, next_ in zip(pairs.earlier, pairs.later, strict=True):
                here = problem.ward[next_] == c.ward and (test, problem.wards[c.ward]) in seen
                if here and value[one] == value[next_]:
                    out[next_] *= _honest(c.excess)
    return out


@pytest.mark.parametrize("charting", ["C", "mixed"])
def test_the_chance_of_every_reading_is_that_of_a_plain_loop(charting):
    problem, looked = _looked(charting)
    seen = {(test, problem.wards[w]) for test in EVERY for w in (0, 2)}
    got = probabilities(problem, looked, seen)
    assert got.tolist() == _by_loops(problem, looked, seen).tolist()
    assert (got < 1).any() and (got[np.isin(problem.ward, [1, 3])] == 1).all()


def test_the_weeks_of_a_favoured_value_are_those_of_a_plain_count():
    problem, looked = _looked()
    at = looked[0]
    asked = {(problem.wards[s.ward], at.table.grid.written(s.place)) for s in at.spikes.first if s.ward != 1}
    found = dict(_weekly(problem, at, asked))
    assert set(found) == asked
    week, first = weeks(problem.readings.time)
    for (name, written), weekly in found.items():
        mine = problem.ward == problem.wards.index(name)
        favoured = mine & (np.round(problem.charted.value, 1) == float(written.split()[0]))
        size = len(weekly.n)
        assert weekly.first == first
        assert weekly.n.tolist() == np.bincount(week[mine], minlength=size).tolist()
        assert weekly.favoured.tolist() == np.bincount(week[favoured], minlength=size).tolist()


def test_a_spike_that_began_half_way_is_dated_to_within_two_weeks_and_an_unseen_one_never():
    """Known answer: 36.0 °C stands in 15 % of one ward's charts from the middle of the time on."""
    rng = np.random.default_rng(5)
    made = many_wards(rng, wards=3, readings=3000).readings
    made = made.take(np.argsort(made.time, kind="stable"))
    middle = float(np.median(made.time))
    late = (made.time > middle) & (rng.random(len(made)) < 0.15) & (made.codes["ward"] == 1)
    value = np.where(late, 36.0, made.charted.value)
    made = replace(made, value=value, charted=replace(made.charted, value=value))
    told = [s for s in audit.solve(audit.Problem(made)).signals if s.test == "value-spike"]
    (seen,) = [s for s in told if s.outcome is Outcome.SEEN]
    assert seen.subject_id == made.names["ward"][1] and seen.label == "36.0 °C"
    assert abs((seen.since - np.datetime64(int(middle), "h").astype("M8[D]").item()).days) <= 14
    assert all(s.turned is None for s in told if s is not seen)
