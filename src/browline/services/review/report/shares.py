"""How many of the flagged are truly so."""

from collections.abc import Sequence


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
