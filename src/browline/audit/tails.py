"""Probabilities of counts so large or so small, for counts that vary as much as chance or more."""

WIDER = 1.0 + 1e-9


def upper_tail(count: float, mean: float, variance: float) -> float:
    """Probability of `count` or more: Poisson, or negative binomial where `variance` is over `mean` (over 0).

    >>> round(upper_tail(3, 1.0, 1.0), 4), round(upper_tail(3, 1.0, 2.0), 4)
    (0.0803, 0.125)
    """
    from scipy.special import betainc, gammainc

    if count <= 0:
        return 1.0
    if variance <= mean * WIDER:
        return float(gammainc(count, mean))
    size, success = _negative_binomial(mean, variance)
    return float(betainc(count, size, 1.0 - success))


def lower_tail(count: float, mean: float, variance: float) -> float:
    """Probability of `count` or fewer, for the same laws.

    >>> round(lower_tail(2, 1.0, 1.0) + upper_tail(3, 1.0, 1.0), 12)
    1.0
    """
    from scipy.special import betainc, gammaincc

    if variance <= mean * WIDER:
        return float(gammaincc(count + 1.0, mean))
    size, success = _negative_binomial(mean, variance)
    return float(betainc(size, count + 1.0, success))


def binomial_upper_tail(count: float, n: float, proportion: float) -> float:
    """Probability of `count` or more of `n` at a true `proportion` (0 to 1), none need be whole: the binomial tail.

    >>> round(binomial_upper_tail(8, 10, 0.5), 4)
    0.0547
    """
    from scipy.special import betainc

    if count <= 0:
        return 1.0
    return float(betainc(count, n - count + 1.0, proportion))


def _negative_binomial(mean: float, variance: float) -> tuple[float, float]:
    """(size, probability of success) of the negative binomial law with this mean and variance."""
    return mean * mean / (variance - mean), mean / variance
