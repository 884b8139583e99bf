"""Every level of one kind against the middle of the others: offset, interval, chance, and how much the data say.

The interval is the posterior's, with the doubt about the effects' own spreads integrated in, or, for instruments, that
with each instrument fixed, which covers alike however far off an instrument is (heavy_tailed_prior.py);
both widened by what the
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

    - `against`: what each is compared with. `posterior`: theirs. `share` float64[levels] in [0, 1].
    - `widening` float64[levels] >= 1. `interval_posterior`: what the interval is taken from.
    """

    against: Comparison
    posterior: Mixture
    share: Floats
    widening: Floats
    interval_posterior: Mixture

    @property
    def offset(self) -> Floats:
        """Posterior mean, °C."""
        return self.posterior.centre

    def interval(self) -> tuple[Floats, Floats]:
        """The 95 % interval, widened about its centre."""
        low, high = self.interval_posterior.interval()
        centre = self.interval_posterior.centre
        return centre - self.widening * (centre - low), centre + self.widening * (high - centre)

    def sd(self) -> Floats:
        """Posterior sd, widened, °C."""
        return np.asarray(np.sqrt(self.posterior.variance) * self.widening)

    def beyond(self, tolerance_c: float) -> Floats:
        """Chance that the contrast is beyond the tolerance on either side, with the widened posterior."""
        wide = Mixture(self.posterior.weight, self.posterior.mean, self.posterior.sd * self.widening)
        return wide.beyond(tolerance_c)
