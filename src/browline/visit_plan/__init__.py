"""Who can be taught when? A plan of visits that reaches most new people soonest, with a proved gap.

    maximise  Σ (people reached, sooner counting more)  −  price · hours     subject to cover, hours and rest

`solve(problem)` gives visits with the names called to each, what the plan is worth and what no plan can pass, and a
reason for everybody who has no chance in it. The algebra stands in docs/derivations/rota.md.
"""

from browline.visit_plan.chances import sessions_needed
from browline.visit_plan.outcome import Outcome
from browline.visit_plan.problem import (
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
from browline.visit_plan.result import Plan, Reason, Visit
from browline.visit_plan.solve import solve

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
