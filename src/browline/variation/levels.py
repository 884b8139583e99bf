"""Which levels a factor has while it is fitted: codes without gaps, and instruments split where they changed."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Codes, Floats


@dataclass(frozen=True)
class Levels:
    """A factor's levels in the fit.

    - `codes` int64[n] in 0..levels-1, -1 missing. `subject` int64[levels]: the code in the readings' dictionary;
      several levels of one subject are its segments in time.
    - `group` int64[levels]: what a level is compared within (of an instrument, the site it is mostly used at).
    - `began` float64[levels]: hours since 1970 at which the segment began; -inf for a first segment.
    """

    codes: Codes
    subject: Codes
    began: Floats
    group: Codes

    @property
    def latest(self) -> NDArray[np.bool_]:
        """Which levels are their subject's latest segment."""
        in_time = np.lexsort((self.began, self.subject))
        last = np.zeros(len(self.subject), bool)
        last[in_time[np.diff(self.subject[in_time], append=-1) != 0]] = True
        return last

    def split(self, level: int, after: NDArray[np.bool_], began: float) -> "Levels":
        """The levels with those readings of `level` that lie in `after` made a segment of their own."""
        codes = self.codes.copy()
        codes[(codes == level) & after] = len(self.subject)
        subject = np.append(self.subject, self.subject[level])
        group = np.append(self.group, self.group[level])
        return replace(self, codes=codes, subject=subject, began=np.append(self.began, began), group=group)

    def earlier(self, level: int) -> int | None:
        """The segment just before this one of the same subject."""
        segments = np.flatnonzero((self.subject == self.subject[level]) & (self.began < self.began[level]))
        return int(segments[self.began[segments].argmax()]) if len(segments) else None


def levels(codes: Codes, site: Codes | None = None) -> Levels:
    """The levels of plain dictionary codes, unused ones left out; grouped by the site most of their readings are at.

    >>> levels(np.array([5, -1, 2, 5])).codes.tolist()
    [1, -1, 0, 1]
    """
    subject = np.unique(codes[codes >= 0]).astype(np.int64)
    numbered = (
        np.searchsorted(subject, codes).astype(np.int64) if len(subject) else np.zeros(len(codes), np.int64)
    )
    numbered = np.where(codes >= 0, numbered, -1)
    group = np.zeros(len(subject), np.int64) if site is None else _groups(numbered, site, len(subject))
    return Levels(numbered, subject, np.full(len(subject), -np.inf), group)


def _groups(codes: Codes, site: Codes, levels: int) -> Codes:
    charted, sites = codes >= 0, int(site.max(initial=0)) + 1
    counts = np.bincount(codes[charted] * sites + site[charted], minlength=levels * sites).reshape(
        levels, sites
    )
    return np.unique(counts.argmax(1), return_inverse=True)[1].astype(np.int64)
