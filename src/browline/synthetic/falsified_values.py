"""Numbers that stand in the chart and were not measured there and then: by the habits of four wards.

One value far too often, the stay's previous value, the previous patient's value, and readings from a rule's
line up to a little above it put down just below. A number taken over is the one that stands in the chart.
"""

from dataclasses import dataclass

import numpy as np

from browline.quantities import fahrenheit
from browline.synthetic.arrays import Flags, Floats, Generator, Ints
from browline.synthetic.charting_habits import (
    BATCH_HOURS,
    BATCH_ROUNDS,
    BATCH_SHARE,
    COPY_SHARE,
    DEFAULT_GOES,
    EDGE_C,
    EDGE_REACH_C,
    EDGE_SHARE,
    SPIKE_C,
    SPIKE_LEFT,
    SPIKE_SHARE,
)
from browline.synthetic.plant import origins
from browline.synthetic.reading import House, Latent
from browline.synthetic.sites import BLADDER
from browline.synthetic.tenths import to_tenths

LONGEST_GAP_HOURS = 1.0


@dataclass(frozen=True)
class Overwritten:
    """n numbers in tenths of the chart's unit, and which of them were not measured."""

    tenths: Ints
    spike: Flags
    copied: Flags
    batched: Flags
    edged: Flags

    @property
    def any(self) -> Flags:
        """Whether the number was not measured, in whatever way."""
        out: Flags = self.spike | self.copied | self.batched | self.edged
        return out


def overwrite(
    tenths: Ints, unit_f: Flags, latent: Latent, house: House, rng: Generator, habit: Generator
) -> Overwritten:
    """The honest `tenths` with the habits of the wards; `unit_f`: the chart is in °F.

    Spikes and copies draw from `rng`, the younger habits from `habit`, so that they reshuffle nothing.
    """
    n, wards = len(tenths), house.wards
    spike = (latent.ward == wards.spike) & (rng.random(n) < _spike_share(latent.time, house))
    wanted = (latent.ward == wards.copies) & (rng.random(n) < COPY_SHARE)
    copied = wanted & (np.diff(latent.stay, prepend=-1) == 0) & (np.diff(unit_f.astype(int), prepend=0) == 0)
    patient_before = np.where(spike | copied, -1, _patient_before(latent, unit_f, house, habit))
    batched = patient_before >= 0
    edged = (latent.ward == wards.habits.edge) & _near_line(tenths, unit_f) & ~(spike | copied | batched)
    edged &= habit.random(n) < EDGE_SHARE
    charted = np.where(
        edged, _in_chart(EDGE_C, unit_f) - 1, np.where(spike, _in_chart(SPIKE_C, unit_f), tenths)
    )
    rows = np.arange(n)
    before = np.where(copied, rows - 1, np.where(batched, patient_before, rows))
    return Overwritten(
        tenths=charted[origins(before)], spike=spike, copied=copied, batched=batched, edged=edged
    )


def _spike_share(time: Floats, house: House) -> Floats:
    """The share falls once the form no longer holds a default value (see events)."""
    return np.where(time < house.clock.moment(DEFAULT_GOES), SPIKE_SHARE, SPIKE_LEFT)


def _patient_before(latent: Latent, unit_f: Flags, house: House, habit: Generator) -> Ints:
    """Where a number is taken over from the patient read just before on the ward; -1 elsewhere.

    In some rounds of two hours most numbers are the first patient's.
    """
    first = (latent.ward == house.wards.habits.batches) & (latent.retake_of < 0) & (latent.site != BLADDER)
    firsts = np.flatnonzero(first)
    firsts = firsts[np.lexsort((latent.stay[firsts], latent.time[firsts]))]
    out = np.full(len(latent), -1)
    if len(firsts) == 0:
        return out
    round_ = np.floor((house.clock.wall(latent.time[firsts]) + 1.0) / BATCH_HOURS).astype(np.int64)
    round_ -= round_.min()
    drawn = (habit.random(round_.max() + 1) < BATCH_ROUNDS)[round_] & (
        habit.random(len(firsts)) < BATCH_SHARE
    )
    drawn[1:] &= np.diff(round_) == 0
    drawn[1:] &= np.diff(latent.time[firsts]) < LONGEST_GAP_HOURS
    drawn[1:] &= (np.diff(latent.stay[firsts]) != 0) & (np.diff(unit_f[firsts].astype(int)) == 0)
    drawn[0] = False
    taker = np.flatnonzero(drawn)
    out[firsts[taker]] = firsts[taker - 1]
    return out


def _near_line(tenths: Ints, unit_f: Flags) -> Flags:
    lowest, highest = _in_chart(EDGE_C, unit_f), _in_chart(EDGE_C + EDGE_REACH_C, unit_f)
    out: Flags = (tenths >= lowest) & (tenths <= highest)
    return out


def _in_chart(value_c: float, unit_f: Flags) -> Ints:
    return to_tenths(np.where(unit_f, fahrenheit(value_c), value_c))
