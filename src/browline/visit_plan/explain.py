"""A plan in an educator's words: what it reaches, and how much better another could be."""

from browline import display
from browline.visit_plan.outcome import Outcome


def reach_sentence(expected: float, to_reach: int, visits: int, hours: float, release: float) -> str:
    """How many are reached, if so many of those called can come.

    >>> reach_sentence(27.7, 44, 25, 12.5, 0.6)[-38:]
    ', in 25 visits and 12.5 of your hours.'
    """
    how = f"{visits} visit{'s' * (visits != 1)} and {display.significant(hours)} of your hours"
    return (
        f"If {display.significant(10 * release)} in 10 of those called can come,"
        f" about {display.decimal(expected, 0)} of the {display.number(to_reach)} people"
        f" left to reach are reached, in {how}."
    )


def gap_sentence(outcome: Outcome, worth: float, bound: float, half_life_days: float) -> str:
    """How near the plan is to the best one, with what is counted; empty where nothing is proved of it.

    >>> gap_sentence(Outcome.WITHIN_GAP, 99.0, 100.0, 28.0)[:74]
    'No plan within these limits could be better by more than 1.0 in a hundred.'
    """
    if not outcome.has_visits or outcome == Outcome.BOUND_BROKEN:
        return ""
    counted = (
        f"Sooner counts more ({display.significant(half_life_days)} days later counts half)"
        f" and an hour has its price: so counted, no plan within these limits can pass"
        f" {display.decimal(bound)}; this one comes to {display.decimal(worth)}."
    )
    if outcome == Outcome.OPTIMAL:
        return f"No plan within these limits is better. {counted}"
    share = 100 * (bound - worth) / bound
    return f"No plan within these limits could be better by more than {display.decimal(share)} in a hundred. {counted}"
