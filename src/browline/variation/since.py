"""Since when? One change in one subject's level, by exact Gaussian evidence over its weeks.

The subject's weekly means m have information H and score g (see residuals.py). Under *no change* every mean
is a; under *change in week k* it is a before and a + J from then on, a ~ N(0, LEVEL_SD^2), J ~ N(0, STEP_SD^2):

    log evidence = -1/2 log|I + Q G'HG| + 1/2 (G'g)' (Q^-1 + G'HG)^-1 G'g

with one change a priori in PRIOR_CHANGE of subjects, in any week alike. The constants are our choice; a split
also asks for a step that matters, so that the many weeks looked through do not make honest instruments change.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.design import Codes, Floats
from browline.variation.residuals import Cells

LEVEL_SD, STEP_SD, PRIOR_CHANGE = 0.3, 0.3, 0.05
SURE, MATTERS_C = 0.98, 0.15
FEWEST_READINGS, FEWEST_WEEKS = 30, 4
WEEK_HOURS = 168.0


@dataclass(frozen=True)
class Change:
    """The likeliest change: `week` it began, `probability` that there was one, `step_c` with its sd."""

    week: int
    probability: float
    step_c: float
    step_sd_c: float

    @property
    def won(self) -> bool:
        """Whether a change is likelier than none."""
        return self.probability > 0.5

    @property
    def splits(self) -> bool:
        """Whether the subject's effect is fitted before and after apart."""
        return self.probability >= SURE and abs(self.step_c) - self.step_sd_c >= MATTERS_C


def change(cells: Cells) -> Change | None:
    """The likeliest change over the weeks of one subject; None where the readings are too few to tell."""
    if cells.n.sum() < FEWEST_READINGS or len(cells.label) < FEWEST_WEEKS:
        return None
    h, g = cells.information, cells.score
    later_rows = np.flip(np.cumsum(np.flip(h.sum(1))))[1:]
    later_block = np.flip(np.diag(np.cumsum(np.cumsum(np.flip(h), 0), 1)))[1:]
    later_score = np.flip(np.cumsum(np.flip(g)))[1:]
    none = _evidence(np.array([[h.sum()]]), np.array([g.sum()]), np.array([LEVEL_SD]))[0]
    found = [
        _evidence(np.array([[h.sum(), r], [r, b]]), np.array([g.sum(), s]), np.array([LEVEL_SD, STEP_SD]))
        for r, b, s in zip(later_rows, later_block, later_score, strict=True)
    ]
    evidence = np.array([f[0] for f in found])
    best = int(evidence.argmax())
    top = max(none, evidence[best])
    changed = PRIOR_CHANGE * np.exp(evidence - top).mean()
    probability = changed / (changed + (1 - PRIOR_CHANGE) * np.exp(none - top))
    _, mean, sd = found[best]
    return Change(int(cells.label[best + 1]), float(probability), float(mean[1]), float(sd[1]))


def _evidence(information: Floats, score: Floats, prior_sd: Floats) -> tuple[float, Floats, Floats]:
    """Log evidence against a mean of nothing, and the posterior means and sds."""
    scaled = np.eye(len(score)) + prior_sd[:, None] * information * prior_sd
    covariance = prior_sd[:, None] * np.linalg.inv(scaled) * prior_sd
    mean = covariance @ score
    log = 0.5 * float(score @ mean) - 0.5 * float(np.linalg.slogdet(scaled)[1])
    return log, mean, np.sqrt(np.diag(covariance))


def weeks(time: Floats) -> tuple[Codes, float]:
    """Week number of every reading, counted from midnight UTC of the first day, and that midnight in hours."""
    first = float(np.floor(time.min(initial=np.inf) / 24.0) * 24.0) if len(time) else 0.0
    return np.floor((time - first) / WEEK_HOURS).astype(np.int64), first
