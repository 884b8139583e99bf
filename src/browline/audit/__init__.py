"""Were these values measured?

    seen = honest reading through the recording grid of the chart + what stands above it

`solve(problem)` compares every ward with what honest reading would give and answers test by test: seen, not seen
(and what would have been), too few to tell, or not asked. Wards are the subject, never a person; innocent causes
come first; words are "unlikely to have all been measured".
"""

from browline.audit.explain import causes, findings, limits, outcome_in_words, sentence, stepped
from browline.audit.problem import NOT_SAID, Aside, Problem
from browline.audit.result import TESTS, Audit, Outcome, Signal
from browline.audit.solve import solve

__all__ = [
    "NOT_SAID",
    "TESTS",
    "Aside",
    "Audit",
    "Outcome",
    "Problem",
    "Signal",
    "causes",
    "findings",
    "limits",
    "outcome_in_words",
    "sentence",
    "solve",
    "stepped",
]
