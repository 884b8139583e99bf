"""How sure the effects are where a stay's readings move together in ways the model does not have.

The model knows a stay by one level and its episodes as unrelated; a fever that lasts hours is neither. With
s_e = B_e' D_e^-1 e, the scores of one stay, and C the posterior covariance over sigma^2,

    C_robust = C ( sum_e s_e s_e' / sigma^2 ) C + C G^-1 C

which is C again where the model is right: ``C = C B'D^-1B C + C G^-1 C``. Where it is not, stays still are
unrelated and their scores say how much more there is to doubt.

Source: Liang & Zeger 1986, Biometrika 73:13-22 (the middle part, by clusters; from memory).
"""

import numpy as np
from scipy import sparse

from browline.variation.design import Codes, Design, Floats
from browline.variation.fit import Fit
from browline.variation.residuals import Residuals


def robust_covariance(design: Design, fit: Fit, left: Residuals) -> Floats:
    """C_robust float64[q + p, q + p] over sigma^2; C itself where the design has no stays."""
    c = fit.at.covariance
    if not design.nest:
        return c
    s = _scores(design, left, design.nest[0].codes)
    spread = np.asarray((s.T @ s).toarray()) / fit.sigma**2
    prior = np.zeros(len(c))
    scale = fit.at.scale
    prior[: len(scale)] = np.divide(1.0, scale**2, out=np.zeros_like(scale), where=scale > 0)
    return np.asarray(c @ spread @ c + (c * prior) @ c)


def _scores(design: Design, left: Residuals, stay: Codes) -> sparse.csr_array:
    """One row a stay, one column an effect or a fixed column: sums of ``D^-1 e`` over the stay's readings."""
    stays = int(stay[-1]) + 1
    blocks = []
    for factor in design.factors:
        said = factor.codes >= 0
        places = (stay[said], factor.codes[said])
        blocks.append(sparse.csr_array((left.left[said], places), shape=(stays, factor.levels)))
    weighted = sparse.csr_array((left.left, (stay, np.arange(len(stay)))), shape=(stays, len(stay)))
    blocks.append(sparse.csr_array(weighted @ design.x))
    return sparse.csr_array(sparse.hstack(blocks, format="csr"))
