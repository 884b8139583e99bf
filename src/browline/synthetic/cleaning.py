"""Cleanings of the lens, and bench checks against a reference.

Lenses are cleaned about every 14 days (common practice, no source), neglected ones every six weeks. A bench
check is done in the direct mode, so it sees a dirty lens or a shifted sensor but never a mode build: the
body-site correction cannot be verified that way (practice, S106). Its uncertainty, 0.14 °C, is practice S112;
the limit of ±0.3 °C is practice, section 5 (S104).
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Flags, Floats, Generator, Ints, Texts
from browline.synthetic.clock import Clock
from browline.synthetic.fleet import SCAN, Fleet

EVERY_DAYS, NEGLECTED_DAYS = 14.0, 42.0
GAP_SHAPE = 12.0
LONGEST_FALL_DAYS = 45.0
CHECKED_SHARE = 0.20
REFERENCE, BENCH_UNCERTAINTY, BENCH_SD = 37.0, 0.14, 0.05
LIMIT = 0.3
WITHIN, OUT = "within limits", "out of limits"


@dataclass(frozen=True)
class Cleanings:
    """`instrument`, `time`: every cleaning, by instrument and then by time, those before the export too."""

    instrument: Ints
    time: Floats

    def days_since(self, instrument: Ints, time: Floats) -> Floats:
        """Days since the lens of `instrument` was last cleaned, at each `time`."""
        far = 10 * (np.abs(self.time).max() + 1)
        last = np.searchsorted(self.instrument * far + self.time, instrument * far + time, side="right") - 1
        out: Floats = (time - self.time[last]) / 24.0
        return out


@dataclass(frozen=True)
class Checks:
    """Bench checks: `displayed` is what the instrument showed in direct mode at `REFERENCE`, in °C at 0.1."""

    instrument: Ints
    time: Floats
    displayed: Floats
    ambient: Floats

    def results(self) -> Texts:
        """The checker's word for each."""
        words = np.array([WITHIN, OUT], dtype=object)
        out: Texts = words[(np.abs(self.displayed - REFERENCE) > LIMIT + 1e-9).astype(np.int64)]
        return out


def make_cleanings(fleet: Fleet, clock: Clock, rng: Generator) -> Cleanings:
    """Gaps between cleanings are gamma; the first lies before the export begins."""
    first, last = clock.span
    scanners = fleet.of_kind(SCAN)
    mean = np.where(fleet.neglected, NEGLECTED_DAYS, EVERY_DAYS)[scanners]
    most = int(2 * (last - first) / 24 / EVERY_DAYS) + 8
    gaps = 24.0 * rng.gamma(GAP_SHAPE, 1.0, (len(scanners), most)) * (mean / GAP_SHAPE)[:, None]
    gaps[:, 0] = first - 24.0 * rng.uniform(0.0, mean)
    time = np.floor(np.cumsum(gaps, axis=1) * 60) / 60
    row, col = np.nonzero(time < last)
    return Cleanings(scanners[row], time[row, col])


def lens_fall(fleet: Fleet, instrument: Ints, days: Floats) -> Floats:
    """What the lens takes off, °C: ``b_d c`` up to `LONGEST_FALL_DAYS`, no further."""
    return fleet.lens[instrument] * np.minimum(days, LONGEST_FALL_DAYS)


def step_reached(fleet: Fleet, instrument: Ints, time: Floats, clock: Clock) -> Flags:
    """Whether `time` lies after the step of `instrument`."""
    first, last = clock.span
    return (time - first) / (last - first) >= fleet.step_at[instrument]


def make_checks(fleet: Fleet, cleanings: Cleanings, clock: Clock, rng: Generator) -> Checks:
    """One check each of a random fifth of the scanners, at a random time of the export's second half."""
    scanners = fleet.of_kind(SCAN)
    chosen = rng.permutation(scanners)[: max(3, round(CHECKED_SHARE * len(scanners)))]
    time = np.sort(
        np.floor(clock.moment(0.5) + (clock.span[1] - clock.moment(0.5)) * rng.random(len(chosen)))
    )
    fault = fleet.fault[chosen]
    is_mode = np.array([f >= 0 and fleet.faults[f].kind == "mode" for f in fault])
    off = np.where(is_mode, 0.0, fleet.offset[chosen])
    off += fleet.step[chosen] * step_reached(fleet, chosen, time, clock)
    off += lens_fall(fleet, chosen, cleanings.days_since(chosen, time))
    displayed = REFERENCE + off + rng.normal(0, BENCH_SD, len(chosen))
    return Checks(chosen, time, np.round(displayed, 1), np.round(rng.normal(22.0, 0.8, len(chosen)), 1))
