"""The wards as the audit of a review saw them: what their pages, their sheets and the report say of each.

    wards(review) -> every ward, by name        ward(review, name) -> one of them, or None

Wards stand in the order of their names and never by a share: ranks among wards are mostly chance.
"""

from browline.services.review.wards.answers import Answer, answers_of
from browline.services.review.wards.cusum import Watched, watch
from browline.services.review.wards.from_review import Ward, Week, events_of, names, ward, wards
from browline.services.review.wards.improvement import Fall, fall_of
from browline.services.review.wards.rows_behind import rows_behind
from browline.services.review.wards.too_few import untold
from browline.services.review.wards.trend import Followed, follow
from browline.services.review.wards.units import units_of

__all__ = [
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
