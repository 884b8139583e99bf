"""More than honest reading would give: how much more, how sure, and whether it could have been seen at all.

Of n readings a share s is overwritten by one number; of the others the number gets its honest part. With c the
honest odds of that number against all others (from a fit that left it out) and p the observed share,

    s = p - c (1 - p),      so that  1 - s = (1 - p)(1 + c)

and p and c are independent: c is learnt from the other numbers alone.
"""

from dataclasses import dataclass
from math import exp, sqrt

from browline.audit.tails import upper_tail
from browline.quantities.shares import Z95, wilson_around

POWER_Z = 0.8416212335729143
"""Normal quantile of 0.8: a test's power is stated as what it sees 8 times in 10."""
LARGEST_LOG = 50.0


@dataclass(frozen=True)
class Excess:
    """`observed` of `n` where `expected` would be honest.

    - `n`: readings or pairs, over 0. `observed`: count, at most n. `expected`: count fitted from the others, over 0.
    - `fit_variance`: variance of `expected` in counts. `inflation`: at least 1, how much wider than chance the
      readings of one stay (or round) make the difference.
    """

    n: int
    observed: float
    expected: float
    fit_variance: float
    inflation: float = 1.0

    @property
    def proportion(self) -> float:
        """``s = (observed - expected) / n``: the share overwritten, whatever it overwrote."""
        return (self.observed - self.expected) / self.n

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval of `proportion`: Wilson's for p, log-normal for c, recovered together.

        Source: Zou and Donner 2008, Statistics in Medicine 27:1693-1702 (method MOVER, formula from memory).
        """
        p, c = self.observed / self.n, self._odds
        p_low, p_high = wilson_around(p, self.n / self.inflation)
        half = min(Z95 * sqrt(self._log_odds_variance), LARGEST_LOG)
        c_low, c_high = c * exp(-half), c * exp(half)
        down = sqrt(((1 + c) * (p - p_low)) ** 2 + ((1 - p) * (c_high - c)) ** 2)
        up = sqrt(((1 + c) * (p_high - p)) ** 2 + ((1 - p) * (c - c_low)) ** 2)
        return self.proportion - down, self.proportion + up

    def p_beyond(self, tolerance: float) -> float:
        """Chance of so many or more if only `tolerance` (a share of n) were in excess.

        A negative binomial tail: mean ``expected + tolerance n``, variance that of a new count around it.
        """
        mean = self.expected + tolerance * self.n
        return upper_tail(self.observed, mean, self.inflation * (mean + self.fit_variance))

    def least(self, tolerance: float, level: float) -> float:
        """The smallest share told from `tolerance` 8 times in 10 by a test that stands at `level`; at most 1."""
        needed = proportion = self._proportion_just_significant(tolerance, level)
        for _ in range(30):
            proportion = min(needed + POWER_Z * self.standard_error(proportion), 1.0)
        return proportion

    def _proportion_just_significant(self, tolerance: float, level: float) -> float:
        """The share whose usual count is this unlikely: by halving, as tails of counts are longer than normal."""
        low, high = tolerance, 1.0
        for _ in range(25):
            proportion = (low + high) / 2
            far = self._usual_count(proportion).p_beyond(tolerance) > level
            low, high = (proportion, high) if far else (low, proportion)
        return high

    def _usual_count(self, proportion: float) -> "Excess":
        """What would usually be counted if `proportion` were the truth, the odds and how sure they are as here."""
        others = self.n * (1 - proportion) / (1 + self._odds)
        expected = self._odds * others
        fitted = self.fit_variance * (expected / self.expected) ** 2
        return Excess(
            n=self.n,
            observed=self.n - others,
            expected=expected,
            fit_variance=fitted,
            inflation=self.inflation,
        )

    def standard_error(self, proportion: float) -> float:
        """Standard error of the estimated share where `proportion` is the truth."""
        c = self._odds
        p = (proportion + c) / (1 + c)
        sampling_variance = (1 + c) ** 2 * p * (1 - p) * self.inflation / self.n
        return sqrt(sampling_variance + ((1 - p) * c) ** 2 * self._log_odds_variance)

    @property
    def _others(self) -> float:
        """Readings at other numbers; half a reading where there is none, so that certainty is never claimed."""
        return max(self.n - self.observed, 0.5)

    @property
    def _odds(self) -> float:
        return self.expected / self._others

    @property
    def _log_odds_variance(self) -> float:
        """Of c: the fit's, less what only the number of the other readings contributes."""
        size = 1.0 / self._others
        return self.inflation * max(self.fit_variance / self.expected**2 - size, 0.0)
