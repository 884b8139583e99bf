"""What the audit is asked: the readings as charted, what was set aside, and what the register says."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from browline.audit.histograms import Table, crossed, tables
from browline.quantities.sites import CORE_SITES, UNKNOWN
from browline.readings import CARES, AsCharted, Readings

Ints = NDArray[np.int64]
NOT_SAID = "ward not said"


@dataclass(frozen=True)
class Aside:
    """Rows of one ward that hold no reading: `words` instead of a number, values that are `implausible`."""

    ward: str
    words: int
    implausible: int


@dataclass(frozen=True)
class Problem:
    """n readings with the numbers as charted, in time order.

    - `aside`: set-aside rows by ward. `registered`: instrument → C or F, what the register says it shows.
    - `fever_c`: the fever line in force, °C, met by values at or over it.
    - `false_share`: share of flags that may be expected false, in (0, 1).
    - `detectable_proportion`: a test that would miss an excess of this share of readings more than twice in 10 says
      "too few to tell", in (0, 1).

    Raises ValueError where the numbers as charted are missing.
    """

    readings: Readings
    aside: tuple[Aside, ...] = ()
    registered: Mapping[str, str] = field(default_factory=dict)
    fever_c: float = 38.0
    false_share: float = 0.10
    detectable_proportion: float = 0.05

    def __post_init__(self) -> None:
        if self.readings.charted is None:
            raise ValueError("the audit needs the numbers as charted")
        if not (0 < self.false_share < 1 and 0 < self.detectable_proportion < 1):
            raise ValueError("shares lie between 0 and 1")

    @property
    def charted(self) -> AsCharted:
        """The numbers as they stood in the chart."""
        assert self.readings.charted is not None
        return self.readings.charted

    @cached_property
    def tables(self) -> tuple[Table, ...]:
        """The readings counted, a table for each unit."""
        return tables(self.readings, self.charted, self.ward)

    @cached_property
    def ward(self) -> Ints:
        """int64[n], ward of each reading; one number more than the wards where the chart does not say."""
        code = self.readings.codes["ward"].astype(np.int64)
        return np.where(code < 0, len(self.readings.names["ward"]), code)

    @cached_property
    def wards(self) -> tuple[str, ...]:
        """Names by number, `NOT_SAID` last."""
        return (*self.readings.names["ward"], NOT_SAID)

    @cached_property
    def who(self) -> Ints:
        """int64[n], whose reading it is: the stay, else the patient, else -1."""
        stay = self.readings.codes["stay"].astype(np.int64)
        patient = self.readings.codes["patient"].astype(np.int64)
        return np.where(
            stay >= 0, stay, np.where(patient >= 0, patient + len(self.readings.names["stay"]), -1)
        )

    @cached_property
    def cluster(self) -> Ints:
        """int64[n] from 0, readings of one patient in one ward; a reading of nobody known stands alone."""
        span = int(self.who.max(initial=-1)) + 1
        key = np.where(
            self.who >= 0, self.ward * span + self.who, len(self.wards) * span + np.arange(len(self.who))
        )
        return _numbered(key)

    @cached_property
    def in_place(self) -> NDArray[np.bool_]:
        """bool[n], read by a probe that stays in place: it repeats itself, and by the hour, honestly."""
        core = [i for i, name in enumerate(self.readings.names["site"]) if name in CORE_SITES]
        return np.isin(self.readings.codes["site"], core)

    @cached_property
    def ward_day(self) -> Ints:
        """int64[n] from 0, readings of one ward on one day (of the clock the times are kept in)."""
        day = np.floor(self.readings.time / 24.0).astype(np.int64)
        day -= day.min(initial=0) if len(day) else 0
        return self.ward * (int(day.max(initial=0)) + 1) + day

    @cached_property
    def site_missing(self) -> NDArray[np.bool_]:
        """bool[n], no site that can be told."""
        site = self.readings.codes["site"]
        unknown = [i for i, name in enumerate(self.readings.names["site"]) if name == UNKNOWN]
        return np.isin(site, [-1, *unknown])

    @cached_property
    def care(self) -> Ints:
        """int64[W] into `CARES`, the kind of care most of a ward's readings say; -1 where none does."""
        codes = self.charted.care.astype(np.int64)
        known = codes >= 0
        counts = crossed(self.ward[known], codes[known], len(self.wards), len(CARES))
        most: Ints = counts.argmax(axis=1)
        return np.where(counts.any(axis=1), most, -1)

    def per_ward(self, per_reading: NDArray[np.bool_] | None = None) -> Ints:
        """int64[W], readings of each ward, or those of them marked."""
        ward = self.ward if per_reading is None else self.ward[per_reading]
        return np.bincount(ward, minlength=len(self.wards))


def _numbered(key: Ints) -> Ints:
    """The same classes, numbered from 0 without gaps."""
    return np.unique(key, return_inverse=True)[1].astype(np.int64)
