"""What every first reading would have changed by, had all been retaken: the doubly robust terms.

With h the charted past (value, the reading before, the stay's mean before), T whether it was retaken, d the change,

    m(h) = E(d | h, T = 1) by regression on splines,   e(h) = P(T = 1 | h) by logistic regression on splines
    term = m(h) + T (d - m(h)) / e(h)

The mean of the terms over all first readings is the mean change had every one been retaken, right where either m
or e is, if the decision to look again hangs on h only and some retakes are not triggered. The past stands in h
because a value surprises against what came before; the fall-back of an extreme value towards the usual cancels
over all first readings, which it does not over the pairs.

Source: Robins, Rotnitzky & Zhao 1994, J Am Stat Assoc 89:846 (augmented inverse probability; from memory).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Floats
from browline.variation.retakes.first_readings import Firsts
from browline.variation.retakes.logistic import logistic
from browline.variation.retakes.splines import NaturalSpline

FEWEST_PAIRS, FEWEST_STAYS = 40, 20
RAREST, HARDLY_EVER = 0.002, 0.01
ENOUGH_FOR_CURVES = 150
OUTCOME_KNOTS = np.array([0.05, 0.35, 0.65, 0.95])
SURPRISE_KNOTS = np.array([0.02, 0.25, 0.5, 0.75, 0.98])
CHANCE_KNOTS = np.array([0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99])


@dataclass(frozen=True)
class Standardised:
    """Doubly robust terms of one order of sites.

    - `terms` float64[n], °C, one for each first reading of `given`; `chance` float64[n] in (0, 1], of being retaken.
    - `columns` float64[n, k]: the curves' columns, for other outcomes of the same pairs.
    """

    given: Firsts
    chance: Floats
    columns: Floats
    terms: Floats

    @property
    def mean(self) -> float:
        """The mean change had every first reading been retaken, °C."""
        return float(self.terms.mean())

    @cached_property
    def pull(self) -> Floats:
        """How much each first reading moves the mean, °C: ``(term - mean) / n``, widened for the columns spent."""
        spent = np.sqrt(self.given.pairs / max(self.given.pairs - self.columns.shape[1], 1))
        return np.asarray((self.terms - self.mean) / len(self.terms) * spent)


def standardise(given: Firsts) -> Standardised | None:
    """The terms of these first readings; None where pairs are few or a kind of reading is hardly ever retaken."""
    if given.pairs < FEWEST_PAIRS or len(np.unique(given.stay[given.retaken])) < FEWEST_STAYS:
        return None
    chance = chance_retaken(given)
    if chance is None or float((chance < RAREST).mean()) > HARDLY_EVER:
        return None
    columns = outcome_columns(given)
    return Standardised(
        given, chance, columns, doubly_robust_terms(given.change, given.retaken, columns, chance)
    )


def doubly_robust_terms(
    outcome: Floats, retaken: NDArray[np.bool_], columns: Floats, chance: Floats
) -> Floats:
    """``m + T (outcome - m) / e`` with m the regression of the outcome on the columns among those retaken."""
    coefficients = np.linalg.lstsq(columns[retaken], outcome[retaken], rcond=None)[0]
    expected = columns @ coefficients
    return np.asarray(expected + np.where(retaken, (outcome - expected) / chance, 0.0))


def outcome_columns(given: Firsts) -> Floats:
    """Columns of m(h): splines of value and surprise with knots among the pairs; straight lines where pairs are few."""
    if given.pairs < ENOUGH_FOR_CURVES:
        return np.column_stack([np.ones(len(given.value)), given.value - given.centre, given.history[:, :2]])
    value = NaturalSpline.through(given.value[given.retaken], OUTCOME_KNOTS).columns(given.value)
    surprise = NaturalSpline.through(given.surprise[given.retaken], SURPRISE_KNOTS).columns(given.surprise)
    return np.column_stack([value, surprise[:, 1:], given.history])


def chance_retaken(given: Firsts) -> Floats | None:
    """e(h) = P(retaken | h), float64[n]; None where it does not settle (a perfect split)."""
    if given.retaken.all():
        return np.ones(len(given.value))
    value = NaturalSpline.through(given.value, CHANCE_KNOTS).columns(given.value)
    parts = [value]
    if np.isfinite(given.previous).any():
        surprise = NaturalSpline.through(given.surprise, SURPRISE_KNOTS).columns(given.surprise)
        parts += [surprise[:, 1:], given.history]
    return logistic(np.column_stack(parts), given.retaken.astype(float))
