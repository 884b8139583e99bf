"""Charted readings as columns: one frozen table of arrays with integer codes and their dictionaries.

A million row objects would cost more than the whole import, so nothing in this project holds a reading as
an object. Rooms take this table (or plain arrays); the store builds it from its Parquet files.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

FACTORS = ("patient", "stay", "site", "instrument", "person", "ward")
MISSING = -1


@dataclass(frozen=True)
class Readings:
    """n charted readings.

    - `time`: float64[n], hours since 1970-01-01 00:00 UTC (the instant).
    - `hour`: float64[n] in [0, 24), hour of the ward's own day as charted.
    - `value`: float64[n], degrees Celsius.
    - `codes[factor]`: int32[n] into `names[factor]`; -1 where the chart does not say. Every factor of
      `FACTORS` is present. Patients, stays and people are pseudonyms here.
    - `row`: int64[n], row number in the file it came from; `source`: int32[n], number of the import.
    """

    time: NDArray[np.float64]
    hour: NDArray[np.float64]
    value: NDArray[np.float64]
    codes: Mapping[str, NDArray[np.int32]]
    names: Mapping[str, tuple[str, ...]]
    row: NDArray[np.int64] = field(default_factory=lambda: np.empty(0, np.int64))
    source: NDArray[np.int32] = field(default_factory=lambda: np.empty(0, np.int32))

    def __post_init__(self) -> None:
        """Refuse ragged or unfinished columns once, so that no room has to ask again."""
        n = len(self.value)
        lengths = {"time": len(self.time), "hour": len(self.hour), **{f: len(self.codes[f]) for f in FACTORS}}
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
        )
