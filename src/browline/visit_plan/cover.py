"""How many can leave a ward's patients at once, and so how many places a visit has."""

import math

from browline.visit_plan.problem import Cover


def at_once(on_duty: int, cover: Cover) -> int:
    """How many of those on duty may be away together.

    ``min(share n, most, n − stay)``, and one where the share of a small team comes to less than one.

    >>> [at_once(n, Cover(share=0.25, most=3, stay=1)) for n in (1, 2, 4, 8, 40)]
    [0, 1, 1, 2, 3]
    """
    free = max(on_duty - cover.stay, 0)
    return min(max(math.floor(cover.share * on_duty + 1e-9), 1), cover.most, free)


def places(on_duty: int, hours: float, cover: Cover) -> int:
    """How many can be taught in a visit of so many hours: those at once, for as many rounds as fit.

    >>> places(8, 1/3, Cover(share=0.25, most=3, stay=1, round_h=1/6))
    4
    """
    return at_once(on_duty, cover) * math.floor(hours / cover.round_h + 1e-9)
