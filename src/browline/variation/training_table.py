"""Did training work: the verdict with its secondary measures and the picture around sign-off."""

import numpy as np
from numpy.random import Generator

from browline.variation.arrays import Bools, Codes, Floats
from browline.variation.problem import Problem
from browline.variation.random_factors import MONTH_HOURS
from browline.variation.stays.cells import cell_scores
from browline.variation.tables import Fitted
from browline.variation.training.between_cells import audit_rate_by_reading, spread_between_readings
from browline.variation.training.between_people import spread_between_people
from browline.variation.training.event_time import NEVER, EventCells, EventTime, event_time
from browline.variation.training.measures import Measure, with_holm
from browline.variation.training.verdict import Training, judged
from browline.variation.training_data import NullFit, TrainingData, evidence, training_data

FEWEST_OF_PERSON = 10
UNMEASURED = "readings-unlikely-measured"


def training_table(problem: Problem, fitted: Fitted, rng: Generator) -> tuple[Training, EventTime] | None:
    """The verdict and the months around sign-off; None where the charts cannot be asked."""
    who = training_data(problem)
    if who is None:
        return None
    findings, null = evidence(problem, fitted, who, rng)
    cells = event_cells(problem, fitted, who, null)
    return judged(findings, with_holm(_measures(problem, who, null, cells))), event_time(cells)


def event_cells(problem: Problem, fitted: Fitted, who: TrainingData, null: NullFit) -> EventCells:
    """Cells of a person, a calendar month and a month from sign-off, of readings the scan acts on."""
    person, month = who.charted.person, who.charted.month
    usable = who.acted_on & (person >= 0) & (who.charted.ward >= 0)
    event = months_from(problem.readings.time, np.append(who.signed_off, np.inf)[person])
    keys = np.stack([person[usable], who.charted.ward[usable], month[usable], event[usable]])
    where, code = np.unique(keys, axis=1, return_inverse=True)
    cell = np.full(len(person), -1, np.int64)
    cell[usable] = code.ravel()
    information, score = cell_scores(null.columns, fitted.fit.course, null.e, cell[null.columns.order])
    n = np.bincount(code.ravel(), minlength=where.shape[1]).astype(np.int64)
    return EventCells(
        person=where[0],
        ward=where[1],
        month=where[2],
        event=where[3],
        n=n,
        information=information,
        score=score,
    )


def months_from(time: Floats, signed_off: Floats) -> Codes:
    """Whole months since sign-off of each reading, 0 the first, -1 the month before; `NEVER` where never.

    >>> months_from(np.array([10.0, -10.0, 800.0]), np.zeros(3)).tolist()
    [0, -1, 1]
    """
    ever = np.isfinite(signed_off)
    since = np.floor((time - np.where(ever, signed_off, 0.0)) / MONTH_HOURS)
    return np.where(ever, since, NEVER).astype(np.int64)


def _measures(problem: Problem, who: TrainingData, null: NullFit, cells: EventCells) -> tuple[Measure, ...]:
    """Spread between people and between readings, and readings unlikely to have been measured."""
    on = who.acted_on & (who.charted.person >= 0) & (who.charted.ward >= 0)
    ward, month, trained = who.charted.ward[on], who.charted.month[on], who.exposed.trained[on]
    unlikely = 1.0 - 1.0 / problem.variance_weight
    subject = "The share of readings unlikely to have been measured"
    measures = [
        _between_people(who, cells),
        spread_between_readings(null.deletion_residual[on], ward, month, trained),
    ]
    if unlikely.any():
        measures.append(audit_rate_by_reading(UNMEASURED, unlikely[on], ward, month, trained, subject))
    return tuple(measures)


def _between_people(who: TrainingData, cells: EventCells) -> Measure:
    ever = cells.event != NEVER
    before = _of_people(cells, ever & (cells.event < 0), len(who.home))
    after = _of_people(cells, ever & (cells.event >= 0), len(who.home))
    return spread_between_people(before[0], after[0], before[1], after[1], who.home)


def _of_people(cells: EventCells, which: Bools, people: int) -> tuple[Floats, Floats]:
    """Mean residual of each person over the cells `own` and its sampling variance; NaN where too few readings."""
    information = np.bincount(cells.person[which], cells.information[which], people)
    score = np.bincount(cells.person[which], cells.score[which], people)
    enough = np.bincount(cells.person[which], cells.n[which], people) >= FEWEST_OF_PERSON
    safe = np.where(enough & (information > 0), information, np.nan)
    return score / safe, 1.0 / safe
