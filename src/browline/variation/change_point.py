"""Since when? One change in one subject's level, by exact Gaussian evidence over its weeks.

The subject's weekly means m have information H and score g (see stays/cells.py). Under *no change* every mean
is a; under *change in week k* it is a before and a + J from then on, a ~ N(0, LEVEL_SD^2), J ~ N(0, STEP_SD^2):

    log evidence = -1/2 log|I + Q G'HG| + 1/2 (G'g)' (Q^-1 + G'HG)^-1 G'g

with one change a priori in PRIOR_CHANGE of subjects, alike in any week that leaves SIDE readings before and
after. A change counts only where it is likelier than none and its step matters; to split an instrument it has to
be all but sure. The constants are our choice: they keep the many weeks looked through from making honest
instruments change.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.stays.cells import Cells

LEVEL_SD, STEP_SD, PRIOR_CHANGE = 0.3, 0.3, 0.05
SURE, MATTERS_C = 0.98, 0.2
FEWEST_READINGS, FEWEST_WEEKS, SIDE = 40, 4, 20


@dataclass(frozen=True)
class Change:
    """The likeliest change: `week` it began, `probability` that there was one, `step_c` with its sd."""

    week: int
    probability: float
    step_c: float
    step_sd_c: float

    @property
    def splits(self) -> bool:
        """Whether the subject's effect is fitted before and after apart."""
        return self.probability >= SURE and abs(self.step_c) - self.step_sd_c >= MATTERS_C


def change(cells: Cells) -> Change | None:
    """The likeliest change over the weeks of one subject; None where the readings are too few to tell."""
    if cells.n.sum() < FEWEST_READINGS or len(cells.label) < FEWEST_WEEKS:
        return None
    before = np.cumsum(cells.n)[:-1]
    weeks_open = np.flatnonzero((before >= SIDE) & (cells.n.sum() - before >= SIDE))
    if not len(weeks_open):
        return None
    h, g = cells.information, cells.score
    none = _evidence(np.array([[h.sum()]]), np.array([g.sum()]), np.array([LEVEL_SD]))[0]
    later = zip(*(part[weeks_open] for part in _later(h, g)), strict=True)
    fits = [
        _evidence(np.array([[h.sum(), r], [r, b]]), np.array([g.sum(), s]), np.array([LEVEL_SD, STEP_SD]))
        for r, b, s in later
    ]
    evidence = np.array([f[0] for f in fits])
    best = int(evidence.argmax())
    top = max(none, evidence[best])
    changed = PRIOR_CHANGE * np.exp(evidence - top).mean()
    probability = changed / (changed + (1 - PRIOR_CHANGE) * np.exp(none - top))
    _, mean, sd = fits[best]
    week = int(cells.label[weeks_open[best] + 1])
    return Change(week, float(probability), float(mean[1]), float(sd[1]))


def _later(h: Floats, g: Floats) -> tuple[Floats, Floats, Floats]:
    """For a change in each week but the first: later weeks' rows of H in all, their own block of it, and of g."""
    rows = np.flip(np.cumsum(np.flip(h.sum(1))))[1:]
    block = np.flip(np.diag(np.cumsum(np.cumsum(np.flip(h), 0), 1)))[1:]
    return rows, block, np.flip(np.cumsum(np.flip(g)))[1:]


def _evidence(information: Floats, score: Floats, prior_sd: Floats) -> tuple[float, Floats, Floats]:
    """Log evidence against a mean of nothing, and the posterior means and sds."""
    scaled = np.eye(len(score)) + prior_sd[:, None] * information * prior_sd
    covariance = prior_sd[:, None] * np.linalg.inv(scaled) * prior_sd
    mean = covariance @ score
    log = 0.5 * float(score @ mean) - 0.5 * float(np.linalg.slogdet(scaled)[1])
    return log, mean, np.sqrt(np.diag(covariance))
