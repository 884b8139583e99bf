"""The wards as the audit of a review saw them: what their pages, their sheets and the report say of each.

    wards(review) -> every ward, by name        ward(review, name) -> one of them, or None

Wards stand in the order of their names and never by a share: ranks among wards are mostly chance.
"""

from browline.duties.wards.answers import Answer, answers_of
from browline.duties.wards.behind import rows_behind
from browline.duties.wards.fall import Fall, fall_of
from browline.duties.wards.followed import Followed, follow
from browline.duties.wards.read import Ward, Week, events_of, names, ward, wards
from browline.duties.wards.units import units_of
from browline.duties.wards.untold import untold
from browline.duties.wards.watched import Watched, watch
from browline.duties.wards.whether import WHETHER

__all__ = [
    "WHETHER",
    "Answer",
    "Fall",
    "Followed",
    "Ward",
    "Watched",
    "Week",
    "answers_of",
    "events_of",
    "fall_of",
    "follow",
    "names",
    "rows_behind",
    "units_of",
    "untold",
    "ward",
    "wards",
    "watch",
]
