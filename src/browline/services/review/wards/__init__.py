"""The wards as the audit of a review saw them: what their pages, their sheets and the report say of each.

    wards(review) -> every ward, by name        ward(review, name) -> one of them, or None

Wards stand in the order of their names and never by a share: ranks among wards are mostly chance.
"""

from browline.services.review.wards.answers import Answer, read_answers
from browline.services.review.wards.cusum import Watched, watch
from browline.services.review.wards.from_review import Ward, Week, dated_events, names, ward, wards
from browline.services.review.wards.improvement import Fall, find_fall
from browline.services.review.wards.rows_behind import rows_behind
from browline.services.review.wards.too_few import untold
from browline.services.review.wards.trend import Followed, follow
from browline.services.review.wards.units import unit_sentences

__all__ = [
    "Answer",
    "Fall",
    "Followed",
    "Ward",
    "Watched",
    "Week",
    "dated_events",
    "find_fall",
    "follow",
    "names",
    "read_answers",
    "rows_behind",
    "unit_sentences",
    "untold",
    "ward",
    "wards",
    "watch",
]
