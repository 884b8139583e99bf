"""The random effects and fixed columns of "did training work?", as columns that the pass over the readings takes.

    y = months + theta trained + others + a_d + g_o + h_w + u_{w,month} + trained (r_o + s_w) + error

Every random effect is one of a kind of which a reading has one or none, so a kind is a column of codes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from browline.variation.arrays import Codes, Floats, independent_columns
from browline.variation.retakes.splines import NaturalSpline
from browline.variation.training.exposure import Bools, Exposure

THIN = 50
KNOT_MONTHS = 4
"""A spline of the calendar has a knot about so often."""


@dataclass(frozen=True)
class Term:
    """A kind of effect, ``u ~ N(0, sd^2 R)``.

    - `codes` int64[n] in 0..levels-1, -1 for a reading that has none.
    - `scale_c`: of the half-normal prior of its sd, °C.
    - `run`: levels that follow one another in time; R is AR(1) within each run, the identity where `run` is 1.
    """

    name: str
    codes: Codes
    levels: int
    scale_c: float
    run: int = 1


@dataclass(frozen=True)
class Charted:
    """Of n readings the `person`, `ward`, `instrument` int64[n] (-1 not said) and `month` int64[n] from 0."""

    person: Codes
    ward: Codes
    instrument: Codes
    month: Codes

    @property
    def months(self) -> int:
        """How many calendar months there are from the first to the last."""
        return int(self.month.max(initial=-1)) + 1

    @property
    def wards(self) -> int:
        """How many wards there are."""
        return int(self.ward.max(initial=-1)) + 1


def base_terms(charted: Charted) -> tuple[Term, ...]:
    """The effects that are there whether anybody is trained or not; ward by month last.

    The prior scales are ours: sds of instruments of 0.3 °C, of people and wards of 0.2 °C, are large.
    """
    in_month = np.where(charted.ward >= 0, charted.ward * charted.months + charted.month, -1)
    return (
        _term("instrument", charted.instrument, 0.3),
        _term("person", charted.person, 0.2),
        Term("ward", charted.ward, charted.wards, 0.2),
        Term("ward-month", in_month, charted.wards * charted.months, 0.1, run=charted.months),
    )


def response_terms(charted: Charted, trained: Bools) -> tuple[Term, ...]:
    """What teaching does to one person more than to another, and in one ward more than in another.

    A ward's sd of 0.05 °C is half the change that matters (0.1 °C), a person's may be twice that; ours.
    """
    by_person = np.where(trained, charted.person, -1)
    by_ward = np.where(trained, charted.ward, -1)
    return (
        Term("person-response", by_person, int(charted.person.max(initial=-1)) + 1, 0.1),
        Term("ward-response", by_ward, charted.wards, 0.05),
    )


def calendar(month: Codes) -> Floats:
    """Fixed columns of the calendar without a constant: one a month, or a natural spline where months are thin."""
    months = int(month.max(initial=-1)) + 1
    if np.bincount(month, minlength=months).min(initial=THIN) >= THIN or months <= KNOT_MONTHS:
        return np.asarray(month[:, None] == np.arange(1, months), float)
    knots = np.linspace(0, months - 1, max(3, months // KNOT_MONTHS + 1))
    return NaturalSpline(knots).columns(month.astype(float))[:, 1:]


def fixed_columns(charted: Charted, exposed: Exposure, acted_on: Bools) -> Floats:
    """float64[n, p]: constant, calendar, not named, the person's share, and `trained` as the last column.

    The person's share, how much of what they charted came after their sign-off, takes up what people who are
    signed off first have in common; `trained` is then told by the same people before and after (Mundlak 1978,
    Econometrica 46:69, from memory). Columns that others make up are left out.
    """
    share = persons_share(charted.person, exposed, acted_on)
    columns = [np.ones((len(share), 1)), calendar(charted.month), exposed.untold[:, None], share[:, None]]
    x = np.column_stack([*columns, exposed.trained]).astype(float)
    keep = independent_columns(x)
    keep[-1] = True
    return x[:, keep]


def null_columns(charted: Charted, exposed: Exposure) -> Floats:
    """The same without anything that says who was signed off when: what a permutation may not know."""
    n = len(charted.month)
    x = np.column_stack([np.ones((n, 1)), calendar(charted.month), exposed.untold]).astype(float)
    return x[:, independent_columns(x)]


def persons_share(person: Codes, exposed: Exposure, acted_on: Bools) -> Floats:
    """float64[n]: of each reading's person, the share of readings charted after sign-off; 0 at other sites."""
    code = np.where(acted_on & (person >= 0), person, int(person.max(initial=-1)) + 1)
    readings = np.bincount(code)
    return np.where(acted_on, (np.bincount(code, exposed.trained) / np.maximum(readings, 1))[code], 0.0)


def places(terms: Sequence[Term]) -> tuple[slice, ...]:
    """Where each term's effects lie among all, in order.

    >>> places([Term("a", np.zeros(1, int), 2, 1.0), Term("b", np.zeros(1, int), 3, 1.0)])
    (slice(0, 2, None), slice(2, 5, None))
    """
    ends = np.cumsum([0, *(t.levels for t in terms)])
    return tuple(slice(int(a), int(b)) for a, b in pairwise(ends))


def _term(name: str, codes: Codes, scale_c: float) -> Term:
    return Term(name, codes, int(codes.max(initial=-1)) + 1, scale_c)
