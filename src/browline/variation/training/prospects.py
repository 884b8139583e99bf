"""What a way of rolling out would let be seen, told as one of a closed list, and several ways in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from browline import display
from browline.variation.training.orders import Way, distinct_orders
from browline.variation.training.permutation import FEWEST_ORDERS
from browline.variation.training.planner import Rollout, design_se, detectable_in_se
from browline.variation.training.verdict import FEW_WARDS

LOTS = (
    "Draw lots for which ward comes when. It costs nothing in what can be seen, and wards picked because they were"
    " keen, or already getting better, would pass for an effect of teaching."
)


class ProspectOutcome(StrEnum):
    """Whether a roll-out could show anything."""

    COULD = "could-tell"
    NO_CONTEMPORARIES = "no-wards-still-to-start"
    FEW_WARDS = "too-few-wards"
    FEW_ORDERS = "too-few-orders"

    @property
    def sentence(self) -> str:
        """What it means, and what to do about it."""
        return _SENTENCES[self]


_SENTENCES = {
    ProspectOutcome.COULD: "A change of this size would be seen; a smaller one may be there and stay unseen.",
    ProspectOutcome.NO_CONTEMPORARIES: (
        "No ward is still to start while another has begun, so nothing can be told from the season or from anything"
        " else that began that month. Let some wards start later."
    ),
    ProspectOutcome.FEW_WARDS: "Fewer than three wards: what one of them does says nothing. Take in more wards.",
    ProspectOutcome.FEW_ORDERS: (
        "The wards could start in so few orders that chance alone would often do as well, however large the change."
        " Take in more wards, or start them in more steps."
    ),
}


@dataclass(frozen=True)
class Prospect:
    """What could be seen: `se_c` of the level; `seen_80_c`, `seen_90_c` the smallest changes seen 8 or 9 times in 10,
    °C, all None where nothing could. `orders`: how many orders of the wards differ."""

    outcome: ProspectOutcome
    se_c: float | None
    seen_80_c: float | None
    seen_90_c: float | None
    orders: int


def prospect(rollout: Rollout, starts: Sequence[int | None]) -> Prospect:
    """What this roll-out, its wards starting in months `starts`, would let be seen."""
    orders, wards = distinct_orders(starts), len(starts)
    if wards < 3:
        return Prospect(
            outcome=ProspectOutcome.FEW_WARDS, se_c=None, seen_80_c=None, seen_90_c=None, orders=orders
        )
    se = design_se(rollout)
    if np.isinf(se):
        return Prospect(
            outcome=ProspectOutcome.NO_CONTEMPORARIES,
            se_c=None,
            seen_80_c=None,
            seen_90_c=None,
            orders=orders,
        )
    if wards < FEW_WARDS and orders < FEWEST_ORDERS:
        return Prospect(
            outcome=ProspectOutcome.FEW_ORDERS, se_c=None, seen_80_c=None, seen_90_c=None, orders=orders
        )
    detected_80, detected_90 = (se * detectable_in_se(rollout.freedom, wanted) for wanted in (0.8, 0.9))
    return Prospect(
        outcome=ProspectOutcome.COULD, se_c=se, seen_80_c=detected_80, seen_90_c=detected_90, orders=orders
    )


def compared(prospects: Sequence[tuple[Way, Prospect]]) -> tuple[str, ...]:
    """Which way detects more, and how the order is best chosen; sizes are marked for both units ({d 0.10})."""
    ranked = sorted(
        ((display.decimal(p.seen_80_c, 2), way.words) for way, p in prospects if p.seen_80_c is not None),
        key=lambda pair: float(pair[0]),
    )
    out = []
    if ranked:
        least = ranked[0][0]
        best = " and ".join([ranked[0][1], *(_lower(way) for size, way in ranked[1:] if size == least)])
        detects = f"{best} detect{'s most' if ' and ' not in best else ' about the same'}"
        out.append(f"{detects}: a change of {{d {least}}} on average would be seen 8 times in 10.")
        out += [f"{way} needs {{d {size}}} for the same." for size, way in ranked[1:] if size != least]
    out += [f"{way.words}: {_lower(p.outcome.sentence)}" for way, p in prospects if p.seen_80_c is None]
    return (*out, LOTS) if ranked else tuple(out)


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]
