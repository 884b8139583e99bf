"""The answer of the quick pairs: the offset, where it stands, what moves it, and what speaks against it."""

from dataclasses import dataclass

from browline.variation.retakes.checks import Check


@dataclass(frozen=True)
class Sensitivity:
    """The answer if `share` (0 to 0.4) of the first readings that led to a retake were never charted, in °C."""

    share: float
    offset_c: float
    low_c: float
    high_c: float


@dataclass(frozen=True)
class AtNormal:
    """The site against the reference where the reference reads 37.0 °C, 95 % interval, and the site's slope.

    - `slope`: how much the site rises where the reference rises by 1 °C; `slope_sd` its standard error.
    """

    offset_c: float
    low_c: float
    high_c: float
    slope: float
    slope_sd: float


@dataclass(frozen=True)
class PairEstimate:
    """A site against the reference site from quick pairs, doubly robust: `offset_c` is None where too few.

    - `n` pairs. `offset_c`, `low_c`, `high_c`: the mean over all first readings, whose mean temperature on the
      reference's scale is `level_c`. `offset_at_37`: the same where the reference reads 37.0 °C, None where the
      slope is not known well enough.
    - `naive_c`: the plain mean difference of the pairs, for comparison. `minutes`: median time between the two.
    - `sensitivity`: the answer with 0 to 40 % of the first readings that led to a retake uncharted.
    - `checks`: what the pairs themselves show for or against the estimate.
    """

    n: int
    offset_c: float | None
    low_c: float | None
    high_c: float | None
    sentence: str
    level_c: float | None = None
    offset_at_37: AtNormal | None = None
    naive_c: float | None = None
    minutes: float | None = None
    sensitivity: tuple[Sensitivity, ...] = ()
    checks: tuple[Check, ...] = ()
