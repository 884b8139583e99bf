"""The sums that merge: all that the criterion needs of the readings, at given spreads within the stays.

With B = [Z X y] and V the covariance of the stays,

    zz = Z'V^-1 Z,   zc = Z'V^-1 [X y],   cc = [X y]'V^-1 [X y],   logdet = log|V|

Stays are independent, so the sums of two sets of stays add, in any order: one process, several, and a cluster
compute the same thing.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats


@dataclass(frozen=True)
class Sums:
    """``B'V^-1 B`` in three parts, and ``log|V|``, for q effects and p fixed columns.

    - `n`: readings. `zz` float64[q, q], 1/°C^2. `zc` float64[q, p + 1], effects by [X y].
    - `cc` float64[p + 1, p + 1], [X y] by [X y]. `logdet`: log|V|, V in °C^2.
    """

    n: int
    zz: Floats
    zc: Floats
    cc: Floats
    logdet: float

    def __add__(self, more: "Sums") -> "Sums":
        """The sums of both sets of stays together."""
        return Sums(
            n=self.n + more.n,
            zz=self.zz + more.zz,
            zc=self.zc + more.zc,
            cc=self.cc + more.cc,
            logdet=self.logdet + more.logdet,
        )

    def reparametrised(self, part: slice, root: Floats) -> "Sums":
        """The sums with the effects of `part` written as ``u = L w``, `root` = L float64[k, k] lower.

        What is correlated between effects (a ward's months) is so put into Z, and w has independent parts.
        """
        zz, zc = self.zz.copy(), self.zc.copy()
        zz[part] = root.T @ zz[part]
        zz[:, part] = zz[:, part] @ root
        zc[part] = root.T @ zc[part]
        return Sums(n=self.n, zz=zz, zc=zc, cc=self.cc, logdet=self.logdet)

    def without(self, columns: Floats) -> "Sums":
        """The sums with only those fixed columns that `columns` bool[p] keeps."""
        keep = np.append(np.asarray(columns, bool), True)
        return Sums(
            n=self.n, zz=self.zz, zc=self.zc[:, keep], cc=self.cc[np.ix_(keep, keep)], logdet=self.logdet
        )


def nothing(effects: int, columns: int) -> Sums:
    """The sums of no stays: what merging begins with."""
    wide = columns + 1
    return Sums(
        n=0,
        zz=np.zeros((effects, effects)),
        zc=np.zeros((effects, wide)),
        cc=np.zeros((wide, wide)),
        logdet=0.0,
    )
