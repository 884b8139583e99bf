"""Small lasting shifts: the later weeks of a ward watched against its first ones, two ways."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from browline import display
from browline.audit.overtime import CusumChart, EwmaChart, Outcome, cusum_chart, ewma_chart, p_prime_chart
from browline.audit.overtime.proportion_chart import FEWEST_POINTS
from browline.services.review.wards.trend import Followed

FEWEST_EVENTS = 5.0
"""Expected in a usual week; with fewer, a week is too coarse to be added up. Common practice, no source."""


@dataclass(frozen=True)
class Watched:
    """The weeks after the first twelve, in standard deviations from those: `level` of late and the `sum`."""

    weeks: tuple[date, ...]
    level: EwmaChart
    sum: CusumChart

    @property
    def said(self) -> str:
        """What the watch has seen, and how often it is wrong."""
        wrong = (
            f"Each of the two ways of adding up gives {self.level.error_rate} where the usual level is known, and "
            "about twice as many where it is learnt from twelve weeks, as here."
        )
        signals = [
            signal for signal in (self.level.first_signal, self.sum.first_signal) if signal is not None
        ]
        if not signals:
            if Outcome.TOO_FEW in (self.level.outcome, self.sum.outcome):
                return "Too few weeks after the first twelve to tell whether it shifts slowly."
            return f"No small lasting shift since the first twelve weeks. {wrong}"
        began = self.sum.began if self.sum.began is not None else min(signals)
        first, start = display.day(self.weeks[min(signals)]), display.day(self.weeks[began])
        return (
            f"A lasting shift since the first twelve weeks shows from the week of {first} on; it is likeliest to have "
            f"begun in the week of {start}. {wrong}"
        )


def watch(followed: Followed) -> Watched | None:
    """The watch over the weeks after the first twelve; None where there are none, or too few events to add up.

    z_i = (p_i - p) / (sqrt(p (1 - p) / n_i) max(1, sigma_z)),   p and sigma_z of the first twelve weeks
    """
    later = len(followed.weeks) - FEWEST_POINTS
    if later < 1:
        return None
    first = p_prime_chart(followed.counts[:FEWEST_POINTS], followed.totals[:FEWEST_POINTS])
    p, n = first.centre, np.array(followed.totals[FEWEST_POINTS:], float)
    if p * np.median(n) < FEWEST_EVENTS or p >= 1.0:
        return None
    sd = np.sqrt(p * (1 - p) / n) * max(1.0, first.sigma_z)
    z = (np.array(followed.shares[FEWEST_POINTS:]) - p) / sd
    return Watched(followed.weeks[FEWEST_POINTS:], ewma_chart(z), cusum_chart(z))
