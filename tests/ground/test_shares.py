"""Wilson's interval for a share, against the one of SciPy wherever SciPy has one."""

import pytest
from scipy.stats import binomtest

from browline.quantities.shares import wilson


@pytest.mark.parametrize("n", [1, 2, 3, 10, 29, 148, 97_798])
def test_the_interval_is_that_of_scipy(n):
    for count in {0, 1, n // 3, n // 2, n - 1, n}:
        of_scipy = binomtest(count, n).proportion_ci(confidence_level=0.95, method="wilson")
        assert wilson(count, n) == pytest.approx((of_scipy.low, of_scipy.high), abs=1e-12), count


def test_of_nothing_every_share_is_possible_where_scipy_refuses():
    assert wilson(0, 0) == (0.0, 1.0)
    with pytest.raises(ValueError, match="n must be"):
        binomtest(0, 0).proportion_ci(method="wilson")
