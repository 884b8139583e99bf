"""What is asked: charted readings made ready for the crossed model, checked once when made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from browline.quantities.sites import CORE_SITES, UNKNOWN
from browline.readings import Readings
from browline.variation.arrays import Codes, Floats, alone_where_missing

EPISODE_HOURS = 0.5
PLAUSIBLE = (30.0, 44.0)
FACTORS = ("instrument", "person", "ward")
MOSTLY_SAID = 0.5
LEAST_CHANCE = 0.02
ENOUGH_CORE_READINGS, ENOUGH_CORE_STAYS = 50, 10


@dataclass(frozen=True)
class Problem:
    """Readings with their sites, stays and episodes told apart.

    - `readings`: those used; `set_aside`: how many lay outside `PLAUSIBLE` and were left out of the fit.
    - `without_site`: how many say no site and were left out. They would pass for one site of their own and so
      tie instruments together that are used at different sites; kept only where hardly any reading says its site.
    - `site` int64[n] into `sites`; `sites` starts with the reference site, then by number of readings.
    - `stay`, `episode` int64[n], or None where the chart has no stays; an episode is a run of readings of one
      stay, each within 30 minutes of the one before.
    - `modes`: instrument -> mode or build in the register. `cleanings`: instrument -> hours since 1970.
    - `variance_weight` float64[n]: error variance as a multiple, 1 / the chance that the reading was measured.
    - `signed_off`: person -> hours since 1970 of their sign-off, for those who have one.
    - `stay_of_patient`: the chart has patients but no stays, and each patient counts as one stay.
    """

    readings: Readings
    set_aside: int
    without_site: int
    sites: tuple[str, ...]
    site: Codes
    stay: Codes | None
    episode: Codes | None
    modes: Mapping[str, str]
    cleanings: Mapping[str, Floats]
    signed_off: Mapping[str, float]
    variance_weight: Floats
    stay_of_patient: bool

    @classmethod
    def from_readings(
        cls,
        readings: Readings,
        *,
        reference_site: str | None = None,
        modes: Mapping[str, str] | None = None,
        cleanings: Mapping[str, Sequence[float] | Floats] | None = None,
        signed_off: Mapping[str, float] | None = None,
        measured: NDArray[np.floating] | None = None,
    ) -> "Problem":
        """The problem of these readings; the reference site is chosen where none is named.

        `measured` float[n]: the chance that each reading was measured, 1 where not given.

        Raises ValueError where the reference site named is not among the readings.
        """
        plausible = (readings.value >= PLAUSIBLE[0]) & (readings.value <= PLAUSIBLE[1])
        usable = _site_said(readings)
        used = readings.take(plausible & usable)
        chance = np.ones(len(readings)) if measured is None else np.asarray(measured, float)
        grouping = next((f for f in ("stay", "patient") if used.has(f)), None)
        stay = alone_where_missing(used.codes[grouping].astype(np.int64)) if grouping else None
        sites, site = _sites(used, stay, reference_site)
        return cls(
            used,
            int((~plausible).sum()),
            int((plausible & ~usable).sum()),
            sites,
            site,
            stay,
            None if stay is None else episodes(stay, used.time),
            dict(modes or {}),
            {name: np.sort(np.asarray(hours, float)) for name, hours in (cleanings or {}).items()},
            dict(signed_off or {}),
            1.0 / np.maximum(chance[plausible & usable], LEAST_CHANCE),
            grouping == "patient",
        )

    def __len__(self) -> int:
        return len(self.readings)

    def every(self, step: int) -> "Problem":
        """The problem of every `step`-th stay only, sites numbered as before."""
        if self.stay is None or self.episode is None:
            return self
        keep = self.stay % step == 0
        return replace(
            self,
            readings=self.readings.take(keep),
            site=self.site[keep],
            stay=self.stay[keep],
            episode=self.episode[keep],
            variance_weight=self.variance_weight[keep],
        )


def _site_said(readings: Readings) -> "NDArray[np.bool_]":
    """Which readings to use by what they say of the site: those that name one, or all where most do not."""
    names = np.array([*(name or UNKNOWN for name in readings.names["site"]), UNKNOWN])
    named = names[readings.codes["site"]] != UNKNOWN
    return named if named.sum() >= MOSTLY_SAID * len(named) else np.ones(len(readings), bool)


def episodes(stay: Codes, time: Floats, within: float = EPISODE_HOURS) -> Codes:
    """Episode number of every reading: a new one where the stay changes or `within` hours have passed.

    >>> episodes(np.array([0, 0, 0, 1]), np.array([5.0, 5.4, 6.0, 6.0])).tolist()
    [0, 0, 1, 2]
    """
    order = np.lexsort((time, stay))
    new = np.ones(len(order), bool)
    new[1:] = (np.diff(stay[order]) != 0) | (np.diff(time[order]) > within)
    numbers = np.empty(len(order), np.int64)
    numbers[order] = np.cumsum(new) - 1
    return numbers


def _sites(readings: Readings, stay: Codes | None, wanted: str | None) -> tuple[tuple[str, ...], Codes]:
    """Site names with the reference first, and the code of every reading; a missing site is `unknown`."""
    names = readings.names["site"]
    known = [name if name else UNKNOWN for name in names]
    labels = (*known, UNKNOWN) if UNKNOWN not in known else tuple(known)
    code = np.where(readings.codes["site"] < 0, labels.index(UNKNOWN), readings.codes["site"]).astype(
        np.int64
    )
    counts = np.bincount(code, minlength=len(labels))
    charted = [labels[k] for k in np.argsort(-counts, kind="stable") if counts[k]]
    if wanted is not None and wanted not in charted:
        raise ValueError(f"no reading was taken at {wanted!r}; the sites charted are {', '.join(charted)}")
    first = wanted or _reference(charted, labels, code, stay)
    ordered = (first, *(s for s in charted if s != first)) if charted else ()
    place = np.full(len(labels), -1, np.int64)
    for k, name in enumerate(ordered):
        place[labels.index(name)] = k
    return ordered, place[code]


def _reference(charted: Sequence[str], labels: Sequence[str], code: Codes, stay: Codes | None) -> str | None:
    """The most-charted core site that shares enough stays with other sites; else the most-charted known site."""
    for name in (s for s in charted if s in CORE_SITES):
        if stay is not None and _shared_enough(code == labels.index(name), stay):
            return name
    known = [s for s in charted if s != UNKNOWN]
    return next(iter(known or charted), None)


def _shared_enough(core: NDArray[np.bool_], stay: Codes) -> bool:
    """Whether a core site has readings enough in stays that were also read elsewhere."""
    shared = stay[core & np.isin(stay, np.intersect1d(stay[core], stay[~core]))]
    return len(shared) >= ENOUGH_CORE_READINGS and _distinct(shared) >= ENOUGH_CORE_STAYS


def _distinct(codes: Codes) -> int:
    return len(np.unique(codes))


def rhythm(hour: Floats) -> NDArray[np.float64]:
    """The daily rhythm's columns, two harmonics of the ward's own hour, float64[n, 4]."""
    angle = 2 * np.pi * hour / 24
    return np.column_stack([np.cos(angle), np.sin(angle), np.cos(2 * angle), np.sin(2 * angle)])
