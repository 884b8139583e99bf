"""Sites: how often each is used, what it reads against the forehead scan, and how wide its readings are.

    reading = 37 + alpha_s + lambda_s (C - 37) + v_{stay,s} + instrument + person + ward + error

`alpha` against temporal: rectal +0.19 and bladder +0.17 (Geijer 2016, table by reference, sign turned),
axillary -0.46 (Korean ward adults), oral -0.30 and tympanic -0.20 from the midpoints of the "Geneva 2019"
review against its rectal one. `lambda` of the bladder 1.1: the scan squeezes fever (direction Stelfox 2010,
size our assumption). Spreads are our assumptions, smaller than published differences, which hold two sites.
"""

import numpy as np

from browline.synthetic.arrays import Flags, Floats, Generator, Ints
from browline.synthetic.charting_habits import SWITCH_SHARE
from browline.synthetic.fleet import CONTACT, EAR, PROBE, SCAN

NAMES = ("temporal", "oral", "axillary", "tympanic", "rectal", "bladder")
TEMPORAL, ORAL, AXILLARY, TYMPANIC, RECTAL, BLADDER = range(6)
ALPHA = np.array([0.0, -0.30, -0.46, -0.20, 0.19, 0.17])
LAMBDA = np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.1])
PATIENT_SITE_SD = np.array([0.12, 0.10, 0.15, 0.15, 0.08, 0.03])
ERROR_SD = np.array([0.22, 0.16, 0.26, 0.24, 0.12, 0.08])
LOW_SHARE = np.array([0.03, 0.01, 0.03, 0.02, 0.0, 0.0])
LOW_MEAN = 0.5
MIX = np.array([0.78, 0.08, 0.06, 0.06, 0.02, 0.0])
KEEPS_SITE = 0.93
SWITCH_MIX = np.array([0.25, 0.35, 0.25, 0.15, 0.0, 0.0])
INSTRUMENT_KIND = np.array([SCAN, CONTACT, CONTACT, EAR, CONTACT, PROBE])
SCANNED = np.isin(np.arange(6), (TEMPORAL, TYMPANIC))


def usual_sites(stays: int, rng: Generator, mix: Floats = MIX) -> Ints:
    """The site each of `stays` stays is mostly read at; practice: the same site per patient for the trend."""
    return rng.choice(len(mix), stays, p=mix)


def patient_sites(stays: int, rng: Generator) -> Floats:
    """Each patient's own constant at each site, °C, stays × sites."""
    out: Floats = rng.standard_normal((stays, len(NAMES))) * PATIENT_SITE_SD
    return out


def sites_used(usual: Ints, rng: Generator, mix: Floats = MIX) -> Ints:
    """The site of each visit: mostly the stay's usual one."""
    return np.where(rng.random(len(usual)) < KEEPS_SITE, usual, rng.choice(len(mix), len(usual), p=mix))


def switched(site: Ints, habitual: Flags, rng: Generator) -> Ints:
    """The sites, with a share of the `habitual` visits read at just any site."""
    rows = np.flatnonzero(habitual)
    rows = rows[rng.random(len(rows)) < SWITCH_SHARE]
    out = site.copy()
    out[rows] = rng.choice(len(SWITCH_MIX), len(rows), p=SWITCH_MIX)
    return out


def errors(site: Ints, rng: Generator) -> tuple[Floats, Flags]:
    """Error of each reading in °C, and which have a low fault (path off the artery, too quick, damp)."""
    low = rng.random(len(site)) < LOW_SHARE[site]
    error = ERROR_SD[site] * rng.standard_normal(len(site)) - low * rng.exponential(LOW_MEAN, len(site))
    return error, low
