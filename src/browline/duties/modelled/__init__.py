"""What the joint model found, beyond the contract's review: kept with the review, and said alike on page and paper.

model_of(fitted)          -> the supplement's part about the model
site_rows(review, ...)    -> every site with its offset, slope, quick pairs and checks
reads(review, name)       -> how one instrument reads and how it changes between cleanings
training_told(review)     -> did training work
why(finding, review)      -> why a finding was made, and what it cannot be told from
"""

from browline.duties.modelled.instruments import Reads, reads
from browline.duties.modelled.kept import model_of
from browline.duties.modelled.sites import SiteRow, site_rows
from browline.duties.modelled.training import TrainingTold, training_told
from browline.duties.modelled.why import Why, why

__all__ = [
    "Reads",
    "SiteRow",
    "TrainingTold",
    "Why",
    "model_of",
    "reads",
    "site_rows",
    "training_told",
    "why",
]
