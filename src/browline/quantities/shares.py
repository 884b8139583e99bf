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
    p, z2 = count / total, z * z
    centre = p + z2 / (2 * total)
    half = z * sqrt(p * (1 - p) / total + z2 / (4 * total * total))
    scale = 1 + z2 / total
    return max(0.0, (centre - half) / scale), min(1.0, (centre + half) / scale)
