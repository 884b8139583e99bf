"""Habits of charting that a review should notice, the wards that have them, and how strong they are.

Beside the older ones (see wards): numbers taken over from the patient before in a round, readings just above
a rule's line charted just below it, sites changing within a stay, times on the full hour (intensive care) and
keying at the end of the shift (emergency). Each ward has one habit where there are wards enough. The ward with
the spike has too few instruments, and its form loses the default value part of the way through the export.
Sizes are our assumptions; the share of the spike is published (Jackson et al. 2023, 11.3 %).
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Ints, Texts

# The spike: share of the ward's readings charted as one value, before and after the form loses its default, at
# that share of the export. Published for a whole hospital group: Jackson et al. 2023, 11.3 % of exactly 36.0,
# doi 10.1038/s41598-023-30691-z.
SPIKE_C, SPIKE_SHARE = 36.0, 0.113
DEFAULT_GOES, SPIKE_LEFT = 0.7, 0.015
# Copies: share of readings with another of the stay before them that are charted as that one.
COPY_SHARE = 0.12
# Batches: share of the ward's rounds (by the clock, two hours each), and in those the share of readings with
# another patient before them that are charted as that patient's.
BATCH_ROUNDS, BATCH_SHARE, BATCH_HOURS = 0.15, 0.8, 2.0
# Edge: share of readings from the line up to so much above it that are charted a tenth below the line.
EDGE_C, EDGE_REACH_C, EDGE_SHARE = 38.0, 0.2, 0.8
# Switching: share of visits read at any site, in place of the stay's usual one.
SWITCH_SHARE = 0.35
# Full hours: share of visits (those with a retake aside) charted at the nearest full hour.
HOURLY_SHARE = 0.5
# Late: share of shifts keyed all together when they end, on any ward and on that one.
LATE_SHIFTS, LATE_SHIFTS_ODD = 0.03, 0.35


@dataclass(frozen=True)
class Habits:
    """Index of the ward with each habit."""

    batches: int
    edge: int
    switching: int
    hourly: int
    late: int


def make_habits(care: Texts, odd: Ints, taken: int) -> Habits:
    """Wards for the habits: plain ones after the first `taken` of `odd` (in random order) as far as they reach.

    Where there are too few, wards get more than one habit.
    """
    available = odd[taken:] if len(odd) > taken else odd[::-1]
    batches, edge, switching = np.resize(available, 3)
    return Habits(
        batches=int(batches),
        edge=int(edge),
        switching=int(switching),
        hourly=int(np.flatnonzero(care == "intensive")[0]),
        late=int(np.flatnonzero(care == "emergency")[0]),
    )
