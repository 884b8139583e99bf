"""Who can do it? Return demonstrations judged, standing, coverage, learning curves, agreement of assessors."""

from browline.skills.attempts import NextTry, Past, next_try, renewed_until
from browline.skills.checklist import Checklist, Step
from browline.skills.judging import Judgement, judge

__all__ = ["Checklist", "Judgement", "NextTry", "Past", "Step", "judge", "next_try", "renewed_until"]
