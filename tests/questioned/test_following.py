"""The closed forms of the oracles against a general library: matrix exponentials and the Lyapunov equation of SciPy."""

import numpy as np
import pytest
from following import cov_core, cov_site_core, cov_sites, rise, rise_followed
from scipy.linalg import expm, solve_continuous_lyapunov

A, B = 1 / 10, 1 / 1.5
LAGS_H = (0.025, 0.5, 3.0)


@pytest.mark.parametrize("gap", (0.0, 0.05, 0.7, 6.0))
def test_covariances_of_sites_and_core(gap):
    c = 1 / np.array(LAGS_H)
    step = np.diag([-A, *-c])
    step[1:, 0] = c
    noise = np.zeros((4, 4))
    noise[0, 0] = 2 * A
    always = solve_continuous_lyapunov(step, -noise)
    later = expm(step * gap) @ always
    assert later[0, 0] == pytest.approx(cov_core(gap, A), abs=1e-12)
    for i, k in enumerate(c):
        assert later[i + 1, 0] == pytest.approx(cov_site_core(gap, A, k), abs=1e-12)
        assert later[0, i + 1] == pytest.approx(cov_site_core(-gap, A, k), abs=1e-12)
        for j, other in enumerate(c):
            assert later[i + 1, j + 1] == pytest.approx(cov_sites(gap, A, k, other), abs=1e-12)
            assert later[j + 1, i + 1] == pytest.approx(cov_sites(-gap, A, k, other), abs=1e-12)


@pytest.mark.parametrize("since", (0.0, 0.1, 1.0, 5.0))
@pytest.mark.parametrize("lag", (*LAGS_H, 1.5))
def test_a_surge_in_the_core_and_at_a_site(since, lag):
    """State (D, V, E) from (0, 1, 0); a lag of 1.5 h is the surge's own time, where the form has a gap."""
    step = np.array([[-A, 1, 0], [0, -B, 0], [1 / lag, 0, -1 / lag]])
    reached = expm(step * since) @ [0, 1, 0]
    assert rise(since, A, B) == pytest.approx(reached[0], abs=1e-12)
    assert rise_followed(since, A, B, 1 / lag) == pytest.approx(reached[2], abs=2e-7)


def test_nothing_moves_before_the_onset():
    assert rise(-1.0, A, B) == 0 and rise_followed(-1.0, A, B, 2.0) == 0
