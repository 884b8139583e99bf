"""Where each parameter of the stays stands in the packed vectors of the kernels, for G care groups and S sites.

    theta = (patient^2, course^2, log hours) of each group | patient_site^2 | reading^2, then slope, of each site

and after them, where a second-order step wants it, the part of each slope in the mean (the columns g). A single stay
has one group and touches few sites, so its own columns stand in the same order with G = 1 and S = the sites it has.
"""

from numba import njit

PATIENT, COURSE, HOURS = 0, 1, 2
GROUP_PARAMETERS = 3


@njit(cache=True, nogil=True)
def offsets(groups, sites):  # type: ignore[no-untyped-def]
    """Where patient_site^2, the readings' variances, the slopes and their parts in the mean begin.

    >>> offsets(1, 2)
    (3, 4, 6, 8)
    """
    patient_site = GROUP_PARAMETERS * groups
    reading = patient_site + 1
    return patient_site, reading, reading + sites, reading + 2 * sites


@njit(cache=True, nogil=True)
def stay_parameters(groups, sites):  # type: ignore[no-untyped-def]
    """How many parameters describe the stays, P = 3 G + 1 + 2 S."""
    return GROUP_PARAMETERS * groups + 1 + 2 * sites
