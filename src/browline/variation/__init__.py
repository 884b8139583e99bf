"""Where does the spread come from? Charted readings split into sites, patients, instruments, people and wards.

    y = 37 + site + slope (patient + course + rhythm + calendar) + patient at site
           + instrument + drift + person + ward + ward's month + error

the joint model, fitted by REML (docs/derivations/variation.md). Beside it stand the doubly robust
comparison of sites from quick pairs (`retakes`) and the question whether training worked (`training`).
One gesture: ``solve(Problem.of(readings))``, then ``findings(result)`` and ``limits(result)`` in words.
"""

from browline.variation.explain import findings, limits
from browline.variation.joint_model import solve
from browline.variation.outcome import Outcome
from browline.variation.problem import Problem
from browline.variation.result import Effect, Result, SiteEffect, Spread

__all__ = ["Effect", "Outcome", "Problem", "Result", "SiteEffect", "Spread", "findings", "limits", "solve"]
