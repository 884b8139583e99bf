"""The ways a roll-out can go, and how many orders of the wards each leaves open."""

from collections import Counter
from collections.abc import Sequence
from enum import StrEnum
from math import factorial, prod

import numpy as np


class Way(StrEnum):
    """In which steps the wards start."""

    ONE_BY_ONE = "ward-by-ward"
    HALVES = "in-two-halves"
    TOGETHER = "all-at-once"

    @property
    def words(self) -> str:
        """As said on a page."""
        return {
            "ward-by-ward": "Ward by ward",
            "in-two-halves": "In two halves",
            "all-at-once": "All at once",
        }[self.value]


def starts(way: Way, wards: int, months: int, before: int) -> tuple[int, ...]:
    """The month each ward starts (0 the first), after `before` months without, one month left at the end.

    >>> starts(Way.ONE_BY_ONE, 4, 9, 2), starts(Way.HALVES, 4, 8, 2), starts(Way.TOGETHER, 3, 8, 2)
    ((2, 4, 5, 7), (2, 2, 5, 5), (2, 2, 2))
    """
    if not (wards >= 1 and 1 <= before <= months - 2):
        raise ValueError("a month before the first start and one after it are wanted")
    if way is Way.TOGETHER:
        return (before,) * wards
    if way is Way.HALVES:
        later = before + (months - before) // 2
        return (before,) * (wards - wards // 2) + (later,) * (wards // 2)
    return tuple(int(m) for m in np.floor(np.linspace(before, months - 2, wards) + 0.5))


def distinct_orders(starts: Sequence[float | None]) -> int:
    """How many orders of the wards differ: ``W! / product of the factorials of those starting together``.

    >>> distinct_orders([1, 2, 3, 4]), distinct_orders([1, 1, 2, 2]), distinct_orders([1, 1, 1])
    (24, 6, 1)
    """
    return factorial(len(starts)) // prod(factorial(n) for n in Counter(starts).values())
