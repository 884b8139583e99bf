"""Charted readings as columns: one frozen table of arrays with integer codes and their dictionaries.

A million row objects would cost more than the whole import, so nothing in this project holds a reading as
an object. Rooms take this table (or plain arrays); the store builds it from its Parquet files.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace

import numpy as np
from numpy.typing import NDArray

from browline.columns import CARE

FACTORS = ("patient", "stay", "site", "instrument", "person", "ward")
MISSING = -1


CARES = CARE


@dataclass(frozen=True)
class AsCharted:
    """What else the chart says of n readings, as it stood there.

    - `value`: float64[n], the number charted, in the unit it was charted in; `fahrenheit`: bool[n], that unit.
    - `slipped`: bool[n], the value was charted as if in the other unit and has been put right.
    - `age`: float32[n], years; `delay`: float32[n], hours from the reading to its keying; NaN where not said.
    - `care`: int8[n] into `CARES`; -1 where not said.
    """

    value: NDArray[np.float64]
    fahrenheit: NDArray[np.bool_]
    slipped: NDArray[np.bool_]
    age: NDArray[np.float32]
    delay: NDArray[np.float32]
    care: NDArray[np.int8]

    def __len__(self) -> int:
        return len(self.value)

    def take(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> "AsCharted":
        """The rows picked by a mask or by positions."""
        return AsCharted(**{f.name: getattr(self, f.name)[which] for f in fields(self)})


@dataclass(frozen=True)
class Readings:
    """n charted readings.

    - `time`: float64[n], hours since 1970-01-01 00:00 UTC (the instant).
    - `hour`: float64[n] in [0, 24), hour of the ward's own day as charted.
    - `value`: float64[n], degrees Celsius.
    - `codes[factor]`: int32[n] into `names[factor]`; -1 where the chart does not say. Every factor of
      `FACTORS` is present. Patients, stays and people are pseudonyms here.
    - `row`: int64[n], row number in the file it came from; `source`: int32[n], number of the import.
    - `charted`: the numbers as charted, for the audit; None where only temperatures matter.
    """

    time: NDArray[np.float64]
    hour: NDArray[np.float64]
    value: NDArray[np.float64]
    codes: Mapping[str, NDArray[np.int32]]
    names: Mapping[str, tuple[str, ...]]
    row: NDArray[np.int64] = field(default_factory=lambda: np.empty(0, np.int64))
    source: NDArray[np.int32] = field(default_factory=lambda: np.empty(0, np.int32))
    charted: AsCharted | None = None

    def __post_init__(self) -> None:
        """Refuse ragged or unfinished columns once, so that no room has to ask again."""
        n = len(self.value)
        lengths = {"time": len(self.time), "hour": len(self.hour), **{f: len(self.codes[f]) for f in FACTORS}}
        if self.charted is not None:
            lengths |= {f"charted {f.name}": len(getattr(self.charted, f.name)) for f in fields(self.charted)}
        for name, length in lengths.items():
            if length != n:
                raise ValueError(f"column {name} has {length} cells, value has {n}")
        if not np.isfinite(self.value).all() or not np.isfinite(self.time).all():
            raise ValueError("values and times must be finite numbers")

    def __len__(self) -> int:
        return len(self.value)

    def has(self, factor: str) -> bool:
        """Whether any reading says its `factor`."""
        return bool((self.codes[factor] >= 0).any())

    def take(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> "Readings":
        """The readings picked by a mask or by positions, with the same dictionaries."""
        return replace(
            self,
            time=self.time[which],
            hour=self.hour[which],
            value=self.value[which],
            codes={f: c[which] for f, c in self.codes.items()},
            row=self.row[which] if len(self.row) else self.row,
            source=self.source[which] if len(self.source) else self.source,
            charted=self.charted.take(which) if self.charted is not None else None,
        )
