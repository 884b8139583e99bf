"""What is planted on many wards, and how it changes the numbers charted.

One uniform number decides each reading's fate, so that the planted kinds never meet in one reading and each
share is exact in expectation. A copied number is the one that stood in the chart, itself perhaps a copy.
"""

from dataclasses import dataclass

import numpy as np

from browline.quantities import fahrenheit
from browline.synthetic.arrays import Flags, Floats, Generator, Ints
from browline.synthetic.tenths import to_tenths

EDGE_REACH_C = 0.2
NONE = -1


@dataclass(frozen=True)
class Plant:
    """Shares (0 to 1) of what was not charted as measured; nothing is planted by default.

    - `spike`: (value in °C, share of ALL readings charted as that value).
    - `copies`: share, of the readings with an earlier one in the same stay, charted as the stay's last number.
    - `batches`: share, of the readings with a patient before them in the same round, charted as that
      patient's number.
    - `edge`: (line in °C, share, of the readings that would be charted from the line up to 0.2 °C above it,
      charted 0.1 of the chart's unit below it). Spiked, copied and batched readings are not among them.
    - `unit_slips`: share of ALL readings keyed in the unit that the chart is not in.
    - `late`: share of rounds whose every reading is keyed after the end of the shift (07:00 and 19:00).
    - `round_hour`: share of ALL readings charted at the nearest full hour.
    """

    spike: tuple[float, float] = (36.0, 0.0)
    copies: float = 0.0
    batches: float = 0.0
    edge: tuple[float, float] = (38.0, 0.0)
    unit_slips: float = 0.0
    late: float = 0.0
    round_hour: float = 0.0

    def __post_init__(self) -> None:
        """Refuse shares that are none, and shares of the numbers that come to more than all of them."""
        numbers = (self.spike[1], self.copies, self.batches)
        shares = (*numbers, self.edge[1], self.unit_slips, self.late, self.round_hour)
        if not all(0.0 <= s <= 1.0 for s in shares) or sum(numbers) > 1.0:
            raise ValueError(f"shares lie in 0 to 1, spike, copies and batches together too; came {shares}")


@dataclass(frozen=True)
class Planted:
    """n numbers as they stand in the chart, in tenths of its unit, and which of them were planted."""

    tenths: Ints
    spiked: Flags
    copied: Flags
    batched: Flags
    edged: Flags


def planted(
    tenths: Ints, stay_before: Ints, round_before: Ints, in_fahrenheit: bool, plant: Plant, rng: Generator
) -> Planted:
    """The honest `tenths` of readings in the order they were taken, with `plant` done to them.

    `stay_before`, `round_before`: position of the stay's previous reading and of the round's previous
    patient, -1 where there is none. `in_fahrenheit`: the chart's unit.
    """
    fate = rng.random(len(tenths))
    value, share = plant.spike
    spiked = fate < share
    copied = (fate >= share) & (fate < share + plant.copies) & (stay_before >= 0)
    threshold = share + plant.copies
    batched = (fate >= threshold) & (fate < threshold + plant.batches) & (round_before >= 0)
    edged = _edged(tenths, in_fahrenheit, plant, rng) & ~spiked & ~copied & ~batched
    charted = np.where(edged, _in_chart(plant.edge[0], in_fahrenheit) - 1, tenths)
    charted = np.where(spiked, _in_chart(value, in_fahrenheit), charted)
    before = np.where(copied, stay_before, np.where(batched, round_before, np.arange(len(tenths))))
    return Planted(
        tenths=charted[origins(before)], spiked=spiked, copied=copied, batched=batched, edged=edged
    )


def origins(before: Ints) -> Ints:
    """Where each number first stood: `before` followed until it points at itself, doubling the steps.

    >>> origins(np.array([0, 0, 1, 3, 2]))
    array([0, 0, 0, 3, 0])
    """
    while not np.array_equal(further := before[before], before):
        before = further
    return before


def _edged(tenths: Ints, in_fahrenheit: bool, plant: Plant, rng: Generator) -> Flags:
    line, share = plant.edge
    lowest, highest = _in_chart(line, in_fahrenheit), _in_chart(line + EDGE_REACH_C, in_fahrenheit)
    drawn: Flags = rng.random(len(tenths)) < share
    return drawn & (tenths >= lowest) & (tenths <= highest)


def _in_chart(value_c: float, in_fahrenheit: bool) -> int:
    value: Floats = np.array([fahrenheit(value_c) if in_fahrenheit else value_c])
    return int(to_tenths(value)[0])
