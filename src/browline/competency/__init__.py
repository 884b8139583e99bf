"""Who can do it? Return demonstrations judged, standing, coverage, learning curves, agreement of assessors.

    signed off  iff  every critical step was seen done (and at least one step was)

- ``checklist`` the steps, and ``judging`` what their marks come to; ``attempts`` which try is next
- ``standing`` where a person stands on a day; ``coverage``, ``cells`` and ``staff`` who on duty is signed off
- ``refresh`` who should be seen again first; ``learning`` whether repeated tries show the skill (LC-CUSUM)
- ``scored_twice`` and ``agreement`` whether assessors agree
- ``explain`` and ``explain_scores`` all of it in a nurse's words
"""

from browline.competency.attempts import NextTry, Past, next_try, renewed_until
from browline.competency.checklist import Checklist, Step
from browline.competency.judging import Judgement, judge
from browline.competency.status import Standing, Stands

__all__ = [
    "Checklist",
    "Judgement",
    "NextTry",
    "Past",
    "Standing",
    "Stands",
    "Step",
    "judge",
    "next_try",
    "renewed_until",
]
