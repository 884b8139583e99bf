"""Who can be taught when? A plan of visits that reaches most new people soonest, with a proved gap.

    maximise  Σ (people reached, sooner counting more)  −  price · hours     subject to cover, hours and rest

`solve(problem)` gives visits with the names called to each, what the plan is worth and what no plan can pass, and a
reason for everybody who has no chance in it. The algebra stands in docs/derivations/rota.md.
"""

from browline.rota.chances import sessions_needed
from browline.rota.outcome import Outcome
from browline.rota.problem import (
    NIGHT,
    WEEKDAY,
    WEEKEND,
    Cover,
    Duties,
    FixedVisit,
    Limits,
    Problem,
    Stretch,
    Worth,
)
from browline.rota.result import Plan, Reason, Visit
from browline.rota.solve import solve

__all__ = [
    "NIGHT",
    "WEEKDAY",
    "WEEKEND",
    "Cover",
    "Duties",
    "FixedVisit",
    "Limits",
    "Outcome",
    "Plan",
    "Problem",
    "Reason",
    "Stretch",
    "Visit",
    "Worth",
    "sessions_needed",
    "solve",
]
