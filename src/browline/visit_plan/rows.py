"""Rows of a linear program, ``A x <= b``, gathered one group after another."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from browline.visit_plan.problem import Floats, Ints


class Rows:
    """Rows as they are gathered; `matrix` and `upper` give the whole."""

    def __init__(self, variables: int) -> None:
        self._variables, self._count = variables, 0
        self._row: list[Ints] = []
        self._column: list[Ints] = []
        self._value: list[Floats] = []
        self._upper: list[Floats] = []

    def __len__(self) -> int:
        return self._count

    def add(self, row: ArrayLike, column: ArrayLike, value: ArrayLike, upper: ArrayLike) -> None:
        """Add rows numbered from 0 within this group; `upper` has one entry for each of them."""
        rows, columns = np.asarray(row, dtype=np.int64), np.asarray(column, dtype=np.int64)
        self._row.append(rows + self._count)
        self._column.append(columns)
        self._value.append(np.broadcast_to(np.asarray(value, dtype=np.float64), rows.shape))
        self._upper.append(np.asarray(upper, dtype=np.float64))
        self._count += len(self._upper[-1])

    def at_most(self, groups: Mapping[Any, Sequence[int]], limits: Mapping[Any, float]) -> None:
        """Each group of variables adds up to its limit at most."""
        keys = list(groups)
        row = np.repeat(np.arange(len(keys)), [len(groups[key]) for key in keys])
        column = [variable for key in keys for variable in groups[key]]
        self.add(row, column, 1.0, [limits[key] for key in keys])

    @property
    def matrix(self) -> Any:
        """A, sparse by rows."""
        from scipy.sparse import csr_matrix

        entries = np.concatenate(self._value), (np.concatenate(self._row), np.concatenate(self._column))
        return csr_matrix(entries, shape=(self._count, self._variables))

    @property
    def upper(self) -> Floats:
        """b."""
        return np.concatenate(self._upper)
