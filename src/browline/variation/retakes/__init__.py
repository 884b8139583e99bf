"""How do two sites compare, from readings retaken because they looked wrong?

    offset = mean over all first readings of  m(h) + T (d - m(h)) / e(h)

the doubly robust pair estimate (`standardised.py`), where it stands and what it is at 37.0 °C (`direction.py`), how it
moves if first readings were not charted (`sensitivity.py`), and what the readings show against it (`checks.py`).
One gesture: ``pair_estimate(problem, site)``, then ``pair_checks(pairs, model_offset_c)``.
"""

from browline.variation.retakes.checks import Answer, Check, Sign
from browline.variation.retakes.estimate import AtNormal, PairEstimate, Sensitivity
from browline.variation.retakes.pairs import pair_checks, pair_estimate

__all__ = [
    "Answer",
    "AtNormal",
    "Check",
    "PairEstimate",
    "Sensitivity",
    "Sign",
    "pair_checks",
    "pair_estimate",
]
