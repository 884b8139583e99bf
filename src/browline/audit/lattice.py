"""Which numbers can stand in a chart, and how often honest conversion puts them there.

Thermometers show tenths of a degree. A value converted from the other unit and rounded again lands on the
chart's own tenths unevenly: nine tenths of °F fall on five tenths of °C, and ten tenths of °C on eighteen of
°F, so that eight in eighteen (44 %) never occur. A chart must be compared with this, not with even digits.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from browline.quantities import celsius, fahrenheit

Floats = NDArray[np.float64]

ON_TENTH = 0.005
"""How far, in tenths, a number may lie from a tenth and still be one: binary rounding, nothing more."""


@dataclass(frozen=True)
class Lattice:
    """The tenths of one unit between 34 and 42 °C, the range in which a value is looked at.

    - `fahrenheit`: the unit. `first`: lowest number, in tenths of that unit; `size`: how many there are.
    """

    fahrenheit: bool
    first: int
    size: int

    @property
    def tenths(self) -> NDArray[np.int64]:
        """int64[size], every number in tenths of the unit."""
        return self.first + np.arange(self.size)

    @property
    def celsius(self) -> Floats:
        """float64[size], every number in °C."""
        return celsius(self.tenths / 10.0) if self.fahrenheit else self.tenths / 10.0

    def written(self, k: int) -> str:
        """Number `k` with its unit, as a chart would show it.

        >>> CELSIUS.written(20), FAHRENHEIT.written(54)
        ('36.0 °C', '98.6 °F')
        """
        return f"{(self.first + k) / 10:.1f} °{'F' if self.fahrenheit else 'C'}"

    def at(self, charted: Floats) -> NDArray[np.int64]:
        """int64[n], the place of each charted number; -1 where it is no tenth of this unit or out of range."""
        tenths = np.rint(charted * 10.0)
        k = tenths.astype(np.int64) - self.first
        fits = (np.abs(charted * 10.0 - tenths) < ON_TENTH) & (k >= 0) & (k < self.size)
        return np.where(fits, k, -1)


CELSIUS = Lattice(False, 340, 81)
FAHRENHEIT = Lattice(True, 932, 145)


@cache
def converted_weight(lattice: Lattice) -> Floats:
    """How many times as often as on its own tenths each number comes from the other unit's tenths.

    ``w_k = (tenths of the other unit that round to k) x (their width / this unit's width)``

    Returns float64[size]: 10/9 or 5/9 in °C (from °F), 9/5 or 0 in °F (from °C).
    Arithmetic, from the definition of the scales; there are no ties, because multiples of 5/9 and of 9/5
    tenths never end in a half.

    >>> float((converted_weight(FAHRENHEIT) == 0).mean().round(2))
    0.44
    """
    if lattice.fahrenheit:
        source, width = fahrenheit(np.arange(330, 431) / 10.0), 1.8
    else:
        source, width = celsius(np.arange(915, 1095) / 10.0), 1 / 1.8
    landed = np.rint(source * 10.0).astype(np.int64) - lattice.first
    landed = landed[(landed >= 0) & (landed < lattice.size)]
    weight: Floats = np.bincount(landed, minlength=lattice.size).astype(np.float64) * width
    weight.setflags(write=False)
    return weight
