"""Which levels a factor has while it is fitted: codes without gaps, and instruments split where they changed."""

from dataclasses import dataclass, replace

import numpy as np

from browline.variation.design import Codes


@dataclass(frozen=True)
class Levels:
    """A factor's levels in the fit.

    - `codes` int64[n] in 0..levels-1, -1 missing. `subject` int64[levels]: the code in the readings' dictionary;
      several levels of one subject are its segments in time, later ones later in the table.
    - `began` float64[levels]: hours since 1970 at which the segment began; NaN for a first segment.
    """

    codes: Codes
    subject: Codes
    began: "np.typing.NDArray[np.float64]"

    @property
    def latest(self) -> "np.typing.NDArray[np.bool_]":
        """Which levels are their subject's latest segment."""
        last = np.zeros(len(self.subject), bool)
        place = {int(subject): level for level, subject in enumerate(self.subject)}
        last[list(place.values())] = True
        return last

    def split(self, level: int, after: "np.typing.NDArray[np.bool_]", began: float) -> "Levels":
        """The levels with those readings of `level` that lie in `after` made a segment of their own."""
        codes = self.codes.copy()
        codes[(codes == level) & after] = len(self.subject)
        subject = np.append(self.subject, self.subject[level])
        return replace(self, codes=codes, subject=subject, began=np.append(self.began, began))

    def earlier(self, level: int) -> int | None:
        """The segment just before this one of the same subject."""
        before = [k for k in np.flatnonzero(self.subject == self.subject[level]) if k != level]
        began = np.nan_to_num(self.began, nan=-np.inf)
        before = [k for k in before if began[k] < began[level]]
        return int(max(before, key=lambda k: began[k])) if before else None


def levels(codes: Codes) -> Levels:
    """The levels of plain dictionary codes, unused ones left out.

    >>> levels(np.array([5, -1, 2, 5])).codes.tolist()
    [1, -1, 0, 1]
    """
    subject = np.unique(codes[codes >= 0]).astype(np.int64)
    made = (
        np.searchsorted(subject, codes).astype(np.int64) if len(subject) else np.zeros(len(codes), np.int64)
    )
    return Levels(np.where(codes >= 0, made, -1), subject, np.full(len(subject), np.nan))
