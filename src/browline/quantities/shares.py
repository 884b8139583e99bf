"""A share of counts and how sure it is."""

from math import sqrt

Z95 = 1.959963984540054


def wilson(count: int, total: int, z: float = Z95) -> tuple[float, float]:
    """Wilson's interval for a share: ``(p + z²/2n ± z sqrt(p(1-p)/n + z²/4n²)) / (1 + z²/n)``.

    `count` of `total` (0 <= count <= total); (0, 1) where total is 0. Holds its nominal cover for small
    counts, where the textbook interval does not.
    Source: Wilson 1927, J Am Stat Assoc 22:209-212 (formula from memory).

    >>> [round(x, 2) for x in wilson(27, 30)], [round(x, 2) for x in wilson(9, 10)]
    ([0.74, 0.97], [0.6, 0.98])
    """
    if not 0 <= count <= total:
        raise ValueError(f"{count} of {total} is not a share of a count")
    if total == 0:
        return 0.0, 1.0
    low, high = wilson_around(count / total, total, z)
    return max(0.0, low), min(1.0, high)


def wilson_around(share: float, n: float, z: float = Z95) -> tuple[float, float]:
    """Wilson's interval around a share of `n` (over 0), which need not be whole: an effective number.

    >>> [round(x, 3) for x in wilson_around(0.9, 30.0)]
    [0.744, 0.965]
    """
    z2 = z * z
    centre = share + z2 / (2 * n)
    half = z * sqrt(share * (1 - share) / n + z2 / (4 * n * n))
    scale = 1 + z2 / n
    return (centre - half) / scale, (centre + half) / scale
