"""Where does the spread come from? Charted readings split into sites, patients, instruments, people and wards.

    y = 37 + site + slope (patient + course + rhythm + calendar) + patient at site
           + instrument + drift + person + ward + ward's month + error

the joint model, fitted by REML (docs/derivations/variation.md). Beside it stand the doubly robust
comparison of sites from quick pairs (`retakes`) and the question whether training worked (`training`).
One gesture: ``solve(Problem.from_readings(readings))``, then ``findings(result)`` and ``limits(result)`` in words.
"""

from typing import TYPE_CHECKING

from browline.lazy_door import lazy_door

if TYPE_CHECKING:
    from browline.variation.explain import findings as findings
    from browline.variation.explain import limits as limits
    from browline.variation.joint_model import solve as solve
    from browline.variation.outcome import Outcome as Outcome
    from browline.variation.problem import Problem as Problem
    from browline.variation.result import Effect as Effect
    from browline.variation.result import Result as Result
    from browline.variation.result import SiteEffect as SiteEffect
    from browline.variation.result import Spread as Spread

__all__ = ["Effect", "Outcome", "Problem", "Result", "SiteEffect", "Spread", "findings", "limits", "solve"]

_HOMES = {
    "Effect": "result",
    "Result": "result",
    "SiteEffect": "result",
    "Spread": "result",
    "Outcome": "outcome",
    "Problem": "problem",
    "findings": "explain",
    "limits": "explain",
    "solve": "joint_model",
}

__getattr__ = lazy_door(__name__, _HOMES)
