"""What the joint model found, beyond the contract's review: kept with the review, and said alike on page and paper.

model_document(fitted)          -> the supplement's part about the model
site_rows(review, ...)    -> every site with its offset, slope, quick pairs and checks
reads(review, name)       -> how one instrument reads and how it changes between cleanings
training_words(review)     -> did training work
why(finding, review)      -> why a finding was made, and what it cannot be told from
"""

from browline.services.review.model_part.explain import Why, why
from browline.services.review.model_part.instruments import Reads, reads
from browline.services.review.model_part.part import model_document
from browline.services.review.model_part.sites import SiteRow, site_rows
from browline.services.review.model_part.training import TrainingWords, training_words

__all__ = [
    "Reads",
    "SiteRow",
    "TrainingWords",
    "Why",
    "model_document",
    "reads",
    "site_rows",
    "training_words",
    "why",
]
