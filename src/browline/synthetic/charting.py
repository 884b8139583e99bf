"""Charting: from what the instrument showed to what stands in the chart, in tenths of the chart's unit.

First the honest path (rounded by the instrument, converted if the chart's unit is the other one, rounded
again), then the habits of some wards (see overwriting), then slips of the hand.
Every row that does not hold what was measured is kept with its kind, for the truth file.
"""

from dataclasses import dataclass

import numpy as np

from browline.quantities import celsius, fahrenheit
from browline.synthetic import sites
from browline.synthetic.arrays import Flags, Floats, Generator, Ints, Texts, texts
from browline.synthetic.falsified_values import Overwritten, overwrite
from browline.synthetic.fleet import Fleet
from browline.synthetic.reading import House, Latent
from browline.synthetic.tenths import converted, to_tenths

KEYED_AS_SHOWN = 0.6

SLIPS: tuple[str, ...] = (
    "fahrenheit-in-celsius",
    "decimal-comma",
    "lost-point",
    "word",
    "impossible",
    "struck-out",
)
SLIP_RATES = (0.0010, 0.0015, 0.0010, 0.0050, 0.0002, 0.0030)
FAHRENHEIT_SLIP, COMMA, LOST_POINT, WORD, IMPOSSIBLE, STRUCK = range(6)
WORDS = texts(("refused", "asleep", "off ward", "LO", "HI", "Err"))
WORD_SHARES = (0.40, 0.30, 0.12, 0.06, 0.04, 0.08)
IMPOSSIBLE_TENTHS = np.array([0, 9990, 37, 1000, 120])
NONE = -1


@dataclass(frozen=True)
class Chart:
    """n charted cells, in the order of the readings.

    - `tenths`: int, the value in tenths of the chart's unit. `unit_f`: the unit column says F.
    - `slip`: index into `SLIPS` or -1. `word`: index into `WORDS`, used where the slip is a word.
    - `numbers`: which values were not measured. `mixed_unit`: °F keyed because the instrument showed it.
    """

    tenths: Ints
    unit_f: Flags
    slip: Ints
    word: Ints
    numbers: Overwritten
    mixed_unit: Flags

    def values(self) -> Texts:
        """The value cells as text."""
        out: Texts = _TENTHS[self.tenths]
        comma, lost, words = (self.slip == s for s in (COMMA, LOST_POINT, WORD))
        out[comma] = np.array([v.replace(".", ",") for v in out[comma]], dtype=object)
        out[lost] = np.array([v.replace(".", "") for v in out[lost]], dtype=object)
        out[words] = WORDS[self.word[words]]
        return out

    def measured(self) -> Flags:
        """Whether the cell holds what was measured, in whatever spelling."""
        return ~(self.numbers.any | np.isin(self.slip, (WORD, IMPOSSIBLE)))


_TENTHS: Texts = np.array([f"{k // 10}.{k % 10}" for k in range(10_000)], dtype=object)


def displayed_tenths(latent: Latent, fleet: Fleet) -> Ints:
    """What each instrument showed, in tenths of its own unit."""
    in_f = fleet.in_fahrenheit[latent.instrument]
    return to_tenths(np.where(in_f, fahrenheit(latent.measured), latent.measured))


def displayed_celsius(latent: Latent, fleet: Fleet) -> Floats:
    """What each instrument showed, in °C: rounded at 0.1 of its own unit, and no more."""
    displayed = displayed_tenths(latent, fleet) / 10.0
    return np.where(fleet.in_fahrenheit[latent.instrument], celsius(displayed), displayed)


def chart(latent: Latent, house: House, rng: Generator, habit: Generator) -> Chart:
    """Chart all readings, with the habits of the wards and the slips of the hand."""
    n, fleet, wards = len(latent), house.fleet, house.wards
    unit_f = np.isin(latent.ward, wards.in_fahrenheit)
    honest = converted(displayed_tenths(latent, fleet), fleet.in_fahrenheit[latent.instrument], unit_f)
    numbers = overwrite(honest, unit_f, latent, house, rng, habit)
    slip = _slips(latent, unit_f, rng)
    mixed = _unit_unknown_to_register(latent, fleet, unit_f) & ~numbers.any & (slip == NONE)
    mixed &= rng.random(n) < KEYED_AS_SHOWN
    as_f = (slip == FAHRENHEIT_SLIP) | mixed
    tenths = np.where(as_f, to_tenths(fahrenheit(numbers.tenths / 10.0)), numbers.tenths)
    tenths[mixed] = displayed_tenths(latent.take(np.flatnonzero(mixed)), fleet)
    tenths = np.where(slip == IMPOSSIBLE, rng.choice(IMPOSSIBLE_TENTHS, n), tenths)
    word = rng.choice(len(WORDS), n, p=WORD_SHARES)
    return Chart(tenths=tenths, unit_f=unit_f, slip=slip, word=word, numbers=numbers, mixed_unit=mixed)


def _slips(latent: Latent, unit_f: Flags, rng: Generator) -> Ints:
    """At most one slip to a row; Fahrenheit in the Celsius field only where the field is Celsius."""
    edges = np.cumsum(SLIP_RATES)
    slip = np.searchsorted(edges, rng.random(len(latent)), side="right")
    slip = np.where(slip == len(SLIPS), NONE, slip)
    return np.where((slip == FAHRENHEIT_SLIP) & unit_f, NONE, slip)


def _unit_unknown_to_register(latent: Latent, fleet: Fleet, unit_f: Flags) -> Flags:
    """Instruments showing °F unknown to the register, on wards that chart in °C."""
    secret: Flags = fleet.in_fahrenheit & ~fleet.registered_fahrenheit
    out: Flags = secret[latent.instrument] & ~unit_f & (latent.site == sites.TEMPORAL)
    return out
