"""Where does the spread come from? Charted readings split into sites, patients, instruments, people and wards.

    y = 37 + site + daily rhythm + stay + episode + instrument + person + ward + error

the ordinary crossed mixed model, fitted by REML exactly; beside it the doubly robust pair estimate for sites.
One gesture: ``solve(Problem.of(readings))``, then ``findings(result)`` and ``limits(result)`` in words.
"""

from browline.variation.explain import findings, limits
from browline.variation.outcome import Outcome
from browline.variation.problem import Problem
from browline.variation.result import Effect, Result, SiteEffect, Spread
from browline.variation.solve import solve

__all__ = ["Effect", "Outcome", "Problem", "Result", "SiteEffect", "Spread", "findings", "limits", "solve"]
