"""Questioned readings: two readings disagree. Where is the core, which one misled and how, and what should be next?

    y = 37 + offset + slope (S - 37) + own + instrument + [condition] + [state] + [slip] + error,  dS/dt = (C - S)/lag

    solve(Problem((Reading(36.9, "oesophageal", 10), Reading(38.5, "rectal", 4)))) -> Result

For teaching, debrief and review. It does not diagnose; a patient who looks ill is escalated whatever it says.
"""

from typing import TYPE_CHECKING

from browline.lazy_door import lazy_door
from browline.questioned.explain import Explained, explain
from browline.questioned.problem import AGES, ANSWERS, READ_SITES, Costs, Problem, Reading
from browline.questioned.published import intensive, published
from browline.questioned.result import Core, Misled, Outcome, Result, Step, Story

if TYPE_CHECKING:
    from browline.questioned.inference import solve as solve

__all__ = [
    "AGES",
    "ANSWERS",
    "READ_SITES",
    "Core",
    "Costs",
    "Explained",
    "Misled",
    "Outcome",
    "Problem",
    "Reading",
    "Result",
    "Step",
    "Story",
    "explain",
    "intensive",
    "published",
    "solve",
]

__getattr__ = lazy_door(__name__, {"solve": "inference"})
