"""How sure a count is."""

from collections.abc import Sequence
from math import sqrt

Z95 = 1.959964


def wilson(successes: int, n: int) -> tuple[float, float]:
    """The 95 % Wilson score interval of a share.

    With p = x/n: ``(p + z²/2n ± z sqrt(p(1-p)/n + z²/4n²)) / (1 + z²/n)``.

    - `successes`: x, 0 to n; `n`: at least 1.

    Source: Wilson 1927, J Am Stat Assoc 22:209-212 (formula from memory).

    >>> low, high = wilson(27, 30)
    >>> round(low, 2), round(high, 2)
    (0.74, 0.97)
    """
    if n < 1 or not 0 <= successes <= n:
        raise ValueError(f"{successes} of {n} is not a share of a count")
    p, z2 = successes / n, Z95 * Z95
    middle = p + z2 / (2 * n)
    reach = Z95 * sqrt(p * (1 - p) / n + z2 / (4 * n * n))
    scale = 1 + z2 / n
    return max(0.0, (middle - reach) / scale), min(1.0, (middle + reach) / scale)


def true_among(probabilities: Sequence[float]) -> tuple[int, int]:
    """How many of the flagged are truly so: 95 % interval of a sum of unlike coin tosses.

    ``P(K = k)`` of ``K = sum Bernoulli(p_i)``, by folding in one p after another.

    >>> true_among([0.99, 0.98, 0.97])
    (2, 3)
    """
    weights = [1.0]
    for p in probabilities:
        stay = [w * (1 - p) for w in [*weights, 0.0]]
        weights = [s + w * p for s, w in zip(stay, [0.0, *weights], strict=True)]
    return _quantile(weights, 0.025), _quantile(weights, 0.975)


def _quantile(weights: Sequence[float], part: float) -> int:
    total = 0.0
    for k, weight in enumerate(weights):
        total += weight
        if total >= part:
            return k
    return len(weights) - 1
