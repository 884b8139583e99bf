"""What the stays can tell: which spreads, slopes and groups these readings hold, and what is said where not.

A spread that nothing in the readings could tell is held at 0 instead of being guessed, a site's slope at 1; sites
and groups with few readings share theirs. The numbers are our choice.
"""

from dataclasses import dataclass

import numpy as np

from browline.readings import CARES
from browline.variation.arrays import Codes
from browline.variation.problem import Problem

FEWEST_REPEATED_STAYS, FEWEST_COURSE_STAYS = 10, 20
FEWEST_AT_SITE = 60
FEWEST_GROUP_STAYS, FEWEST_GROUP_READINGS = 60, 400
SLOPE_SPAN_C, SLOPE_STAYS, SLOPE_READINGS, TAIL = 1.5, 30, 100, 0.01
CHILD = 16.0


@dataclass(frozen=True)
class Identifiable:
    """What is estimated.

    - `patient`, `course`, `patient_site`: whether the sd can be told. `reading` int64[S]: sites of one number share
      it.
    - `slopes` int64: sites with a slope of their own. `group` int64[n]: care group of every reading; `groups`: names.
    - `sentences`: on what cannot be told.
    """

    patient: bool
    course: bool
    patient_site: bool
    reading: Codes
    slopes: Codes
    group: Codes
    groups: tuple[str, ...]
    sentences: tuple[str, ...]


def identifiable(problem: Problem) -> Identifiable:
    """What these readings can tell of the stays."""
    if problem.stay is None:
        sentences = (
            "The chart does not say which readings belong to one patient's stay, so an instrument or a ward"
            " that sees sicker patients cannot be told from one that reads high.",
        )
        nothing = np.zeros(0, np.int64)
        return Identifiable(
            patient=False,
            course=False,
            patient_site=False,
            reading=_reading(problem),
            slopes=nothing,
            group=np.zeros(len(problem), np.int64),
            groups=("",),
            sentences=sentences,
        )
    counts = np.unique(problem.stay, return_counts=True)[1]
    moments = _moments(problem)
    patient = int((counts >= 2).sum()) >= FEWEST_REPEATED_STAYS
    course = patient and int((moments >= 3).sum()) >= FEWEST_COURSE_STAYS
    group, groups = _groups(problem) if course else (np.zeros(len(problem), np.int64), ("",))
    slopes = _slopes(problem) if patient else np.zeros(0, np.int64)
    patient_site = patient and _shared_stays(problem) >= FEWEST_COURSE_STAYS
    return Identifiable(
        patient=patient,
        course=course,
        patient_site=patient_site,
        reading=_reading(problem),
        slopes=slopes,
        group=group,
        groups=groups,
        sentences=_sentences(patient, course),
    )


def _sentences(patient: bool, course: bool) -> tuple[str, ...]:
    if not patient:
        return ("Hardly any stay has two readings, so patients cannot be told from single readings.",)
    if not course:
        return (
            "Too few stays were read at three moments or more, so a patient's course cannot be told from the"
            " spread of single readings.",
        )
    return ()


def _moments(problem: Problem) -> Codes:
    """How many different moments each stay was read at."""
    stay = _numbered(problem)
    order = np.lexsort((problem.readings.time, stay))
    new = (np.diff(stay[order], prepend=-1) != 0) | (
        np.diff(problem.readings.time[order], prepend=-np.inf) > 0
    )
    return np.bincount(stay[order][new]).astype(np.int64)


def _reading(problem: Problem) -> Codes:
    """Sites with readings enough have an error spread of their own; the others share that of the first site."""
    counts = np.bincount(problem.site, minlength=len(problem.sites))
    site = np.arange(len(problem.sites))
    thin = np.flatnonzero((counts < FEWEST_AT_SITE) & (site > 0))
    shared = site.copy()
    shared[thin] = thin[0] if counts[thin].sum() >= FEWEST_AT_SITE else 0
    return shared.astype(np.int64)


def _shared_stays(problem: Problem) -> int:
    """How many stays were read at two sites, one of them at least twice."""
    both = _by_stay_and_site(problem)
    return int(((both > 0).sum(1) >= 2)[both.max(1) >= 2].sum())


def _numbered(problem: Problem) -> Codes:
    """The stays numbered from 0 without gaps, int64[n]."""
    stay = np.zeros(len(problem), np.int64) if problem.stay is None else problem.stay
    return np.unique(stay, return_inverse=True)[1].astype(np.int64)


def _by_stay_and_site(problem: Problem) -> Codes:
    stay = _numbered(problem)
    width = len(problem.sites)
    return np.bincount(stay * width + problem.site, minlength=(int(stay.max()) + 1) * width).reshape(
        -1, width
    )


def _slopes(problem: Problem) -> Codes:
    """The sites read together with the reference site, in the same stays, over at least `SLOPE_SPAN_C`."""
    both = _by_stay_and_site(problem)
    stay = _numbered(problem)
    free = []
    for site in range(1, len(problem.sites)):
        shared = (both[:, 0] > 0) & (both[:, site] > 0)
        reference = shared[stay] & (problem.site == 0)
        elsewhere = shared[stay] & (problem.site == site)
        if shared.sum() < SLOPE_STAYS or min(reference.sum(), elsewhere.sum()) < SLOPE_READINGS:
            continue
        low, high = np.quantile(problem.readings.value[reference], [TAIL, 1 - TAIL])
        if high - low >= SLOPE_SPAN_C:
            free.append(site)
    return np.array(free, np.int64)


def _groups(problem: Problem) -> tuple[Codes, tuple[str, ...]]:
    """Care groups of the stays, taken from each stay's first reading; thin ones go with the largest."""
    charted = problem.readings.charted
    if charted is None:
        return np.zeros(len(problem), np.int64), ("",)
    label = np.where(charted.age < CHILD, len(CARES), charted.care.astype(np.int64))
    stay = _numbered(problem)
    order = np.lexsort((problem.readings.time, stay))
    opens = order[np.flatnonzero(np.diff(stay[order], prepend=-1) != 0)]
    by_stay = label[opens]
    names = {**dict(enumerate(CARES)), -1: "care not said", len(CARES): "children"}
    kinds, stays = np.unique(by_stay, return_counts=True)
    readings = np.array([(by_stay[stay] == kind).sum() for kind in kinds])
    large = kinds[(stays >= FEWEST_GROUP_STAYS) & (readings >= FEWEST_GROUP_READINGS)]
    if len(large) < 2:
        return np.zeros(len(problem), np.int64), ("",)
    largest = kinds[readings.argmax()]
    ordered = [int(largest), *(int(k) for k in large if k != largest)]
    place = {kind: k for k, kind in enumerate(ordered)}
    code = np.array([place.get(int(kind), 0) for kind in by_stay], np.int64)
    return code[stay], tuple(names[kind] for kind in ordered)
