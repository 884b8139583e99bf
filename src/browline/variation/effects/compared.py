"""Every level of one kind against the middle of the others: offset, interval, chance, and how much the data say.

The interval is the posterior's, with the doubt about the effects' own spreads integrated in, or, for instruments, that
with each instrument fixed, which covers alike however far off an instrument is (tails.py); both widened by what the
stays' scores add (clusters.py). The data share is ``1 - variance / prior variance`` of the same contrast.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.contrasts import Comparison
from browline.variation.effects.mixture import Mixture


@dataclass(frozen=True)
class Compared:
    """The contrasts of one kind's levels.

    - `against`: what each is compared with. `found`: their posterior. `share` float64[levels] in [0, 1].
    - `widening` float64[levels] >= 1. `shown`: what the interval is taken from.
    """

    against: Comparison
    found: Mixture
    share: Floats
    widening: Floats
    shown: Mixture

    @property
    def offset(self) -> Floats:
        """Posterior mean, °C."""
        return self.found.centre

    def interval(self) -> tuple[Floats, Floats]:
        """The 95 % interval, widened about its centre."""
        low, high = self.shown.interval()
        centre = self.shown.centre
        return centre - self.widening * (centre - low), centre + self.widening * (high - centre)

    def sd(self) -> Floats:
        """Posterior sd, widened, °C."""
        return np.asarray(np.sqrt(self.found.variance) * self.widening)

    def beyond(self, tolerance_c: float) -> Floats:
        """Chance that the contrast is beyond the tolerance on either side, with the widened posterior."""
        wide = Mixture(self.found.weight, self.found.mean, self.found.sd * self.widening)
        return wide.beyond(tolerance_c)
