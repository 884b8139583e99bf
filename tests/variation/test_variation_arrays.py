"""Questions about plain columns."""

import numpy as np

from browline.variation.arrays import alone_where_missing, independent_columns


def test_dependent_columns_are_left_out():
    x = np.random.default_rng(0).normal(size=(50, 3))
    x = np.column_stack([x, x[:, 0] + 2 * x[:, 1], np.zeros(50)])
    assert independent_columns(x).tolist() == [True, True, True, False, False]


def test_missing_codes_stand_alone():
    assert alone_where_missing(np.array([0, -1, 2, -1])).tolist() == [0, 3, 2, 4]
