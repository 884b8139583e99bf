"""How a site that follows the core moves with it, in closed form; the oracles of the room `course` stand on this.

The core is C = L + X + D. X wanders with Cov X(t) X(t') = s² exp(-a |t - t'|), a = 1/w. A site that follows with
c = 1/lag shows L + Y + E, where Y and E are X and D passed through c exp(-c t). With b = 1/g and T = t - u,

    D(T) = V (exp(-b T) - exp(-a T)) / (a - b),   E(T) = V c / (a - b) [phi(b) - phi(a)],
    phi(k) = (exp(-k T) - exp(-c T)) / (c - k)

All times in hours. Written out by hand for these tests; `test_following.py` holds it to small steps.
"""

import numpy as np

APART = 1e-6


def rise(since, a, b):
    """D for V = 1, `since` hours after the onset; 0 before it."""
    T = np.maximum(since, 0.0)
    return (np.exp(-b * T) - np.exp(-a * T)) / (a - b)


def rise_followed(since, a, b, c):
    """E for V = 1. Where c equals b (a lag of as many minutes as the surge fades with) c is moved by a millionth."""
    T = np.maximum(since, 0.0)
    c = np.where(np.abs(c - b) < APART * b, c * (1 + APART), c)
    phi = [(np.exp(-k * T) - np.exp(-c * T)) / (c - k) for k in (b, a)]
    return c / (a - b) * (phi[0] - phi[1])


def cov_core(gap, a):
    """Cov(X(t), X(t')) for s = 1, gap = t - t'."""
    return np.exp(-a * np.abs(gap))


def cov_site_core(gap, a, c):
    """Cov(Y(t), X(t')) for s = 1, gap = t - t': not the same forwards and backwards."""
    d = np.abs(gap)
    after = c * (np.exp(-a * d) - np.exp(-c * d)) / (c - a) + c * np.exp(-c * d) / (a + c)
    return np.where(gap >= 0, after, np.exp(-a * d) * c / (a + c))


def cov_sites(gap, a, c, k):
    """Cov(Y_c(t), Y_k(t')) for s = 1, gap = t - t', of two sites that follow with c and k."""
    first, other = np.where(gap >= 0, c, k), np.where(gap >= 0, k, c)
    d = np.abs(gap)
    slow = first / (first - a) * np.exp(-a * d) * other / (a + other)
    fast = 2 * a * first / (first**2 - a**2) * np.exp(-first * d) * other / (first + other)
    return slow - fast
