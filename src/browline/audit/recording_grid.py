"""Which numbers can stand in a chart, and how often honest conversion puts them there.

Thermometers show tenths of a degree. A value converted from the other unit and rounded again lands on the
chart's own tenths unevenly: nine tenths of °F fall on five tenths of °C, and ten tenths of °C on eighteen of
°F, so that eight in eighteen (44 %) never occur. A chart must be compared with this, not with even digits.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from browline import display
from browline.quantities import celsius, fahrenheit

Floats = NDArray[np.float64]

ON_STEP = 0.005
"""How far, in steps, a number may lie from a step and still be on it: binary rounding, nothing more."""


@dataclass(frozen=True)
class RecordingGrid:
    """The numbers one unit can hold between 34 and 42 °C, the range in which a value is looked at.

    - `fahrenheit`: the unit. `first`: lowest number, in steps of that unit; `size`: how many there are.
    - `per_degree`: steps in a degree of the unit, 10, 20 or 100. `filed_celsius`: tenths of °F that stand in the chart
      as °C with two decimals.
    """

    fahrenheit: bool
    first: int
    size: int
    per_degree: int = 10
    filed_celsius: bool = False

    @property
    def steps(self) -> NDArray[np.int64]:
        """int64[size], every number in steps of the unit."""
        return self.first + np.arange(self.size)

    @property
    def celsius(self) -> Floats:
        """float64[size], every number in °C."""
        numbers = self.steps / float(self.per_degree)
        return celsius(numbers) if self.fahrenheit else numbers

    def written(self, k: int) -> str:
        """Number `k` with its unit, as a chart would show it.

        >>> CELSIUS.written(20), FAHRENHEIT.written(54), HUNDREDTHS.written(263), FILED.written(48)
        ('36.0 °C', '98.6 °F', '36.63 °C', '36.67 °C')
        """
        if self.filed_celsius:
            return f"{display.decimal(self.celsius[k], 2)} °C"
        digits = 1 if self.per_degree == 10 else 2
        return f"{(self.first + k) / self.per_degree:.{digits}f} °{'F' if self.fahrenheit else 'C'}"

    def places(self, charted: Floats, within: float = ON_STEP) -> NDArray[np.int64]:
        """int64[n], the place of each charted number; -1 out of range or where it is `within` steps off or further."""
        steps = np.rint(charted * self.per_degree)
        k = steps.astype(np.int64) - self.first
        fits = (np.abs(charted * self.per_degree - steps) < within) & (k >= 0) & (k < self.size)
        return np.where(fits, k, -1)


CELSIUS = RecordingGrid(False, 340, 81)
FAHRENHEIT = RecordingGrid(True, 932, 145)
TWENTIETHS = RecordingGrid(False, 680, 161, 20)
HUNDREDTHS = RecordingGrid(False, 3400, 801, 100)
FILED = RecordingGrid(True, 932, 145, filed_celsius=True)


@cache
def converted_weight(grid: RecordingGrid) -> Floats:
    """How many times as often as on its own tenths each number comes from the other unit's tenths.

    ``w_k = (tenths of the other unit that round to k) x (their width / this unit's width)``

    Returns float64[size]: 10/9 or 5/9 in °C (from °F), 9/5 or 0 in °F (from °C).
    On a finer or a filed recording grid the other source is an instrument that shows tenths of °C.
    Arithmetic, from the definition of the scales; there are no ties, because multiples of 5/9 and of 9/5
    tenths never end in a half.

    >>> float((converted_weight(FAHRENHEIT) == 0).mean().round(2))
    0.44
    """
    if grid.per_degree != 10:
        return _every(grid.per_degree // 10, grid.steps, grid.per_degree / 10)
    if grid.filed_celsius:
        return _every(5, np.rint(grid.celsius * 10).astype(np.int64), 1.8) * _on_tenth(grid.celsius)
    if grid.fahrenheit:
        source, width = fahrenheit(np.arange(330, 431) / 10.0), 1.8
    else:
        source, width = celsius(np.arange(915, 1095) / 10.0), 1 / 1.8
    landed = np.rint(source * 10.0).astype(np.int64) - grid.first
    landed = landed[(landed >= 0) & (landed < grid.size)]
    weight: Floats = np.bincount(landed, minlength=grid.size).astype(np.float64) * width
    weight.setflags(write=False)
    return weight


def _every(step: int, numbers: NDArray[np.int64], weight: float) -> Floats:
    """`weight` at every `step`-th number, nought between."""
    return np.where(numbers % step == 0, weight, 0.0)


def _on_tenth(numbers: Floats) -> NDArray[np.bool_]:
    on: NDArray[np.bool_] = np.abs(numbers * 10 - np.rint(numbers * 10)) < ON_STEP
    return on
