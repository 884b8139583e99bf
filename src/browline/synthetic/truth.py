"""The truth file: everything planted, as plain data. The review never reads it.

Row numbers count the rows under the headings of the readings file from 1. Sizes are in °C, positive reads
high. `n` counts the readings that a fault touched.
"""

from typing import Any

import numpy as np

from browline.synthetic import course, people, sites, wards
from browline.synthetic.charting import Chart
from browline.synthetic.cleaning import step_reached
from browline.synthetic.export import Export
from browline.synthetic.fleet import OFFSET_SD
from browline.synthetic.planted_rows import planted_row_numbers, ward_habits
from browline.synthetic.reading import COOLED, House, Latent

FORMAT = "browline-truth/1"


def build_truth(house: House, latent: Latent, cells: Chart, export: Export, seed: int) -> dict[str, Any]:
    """What was planted, ready for JSON."""
    return {
        "format": FORMAT,
        "seed": seed,
        "readings": len(latent),
        "rows": len(export.reading),
        "row_numbers": "1 is the first row under the headings of the readings file",
        "instruments": _instruments(house, latent),
        "people": _people(house, latent),
        "wards": {**_wards(house), **ward_habits(house)},
        "sites": _sites(latent),
        "spread": _spread(),
        "training": {"effect_c": -people.BEFORE_SIGN_OFF, "sites": ["temporal", "tympanic"]},
        "retakes": {"share": float((latent.retake_of >= 0).mean()), "cooled_c": COOLED},
        "rows_of": planted_row_numbers(house, latent, cells, export),
    }


def _instruments(house: House, latent: Latent) -> list[dict[str, Any]]:
    """The faulty ones; `mean_c` is the mean of what instrument and lens added to the readings touched.

    `against_c` is that less the middle of its kind: charts can only show instruments against each other.
    """
    fleet, out = house.fleet, []
    middle = _middles(house, latent)
    for d in np.flatnonzero(fleet.fault >= 0):
        fault = fleet.faults[int(fleet.fault[d])]
        used = latent.instrument == d
        touched = used & step_reached(fleet, latent.instrument, latent.time, house.clock)
        added = (latent.instrument_part + latent.lens_part)[touched]
        since = house.clock.moment(fault.since)
        out.append(
            {
                "instrument": str(fleet.id[d]),
                "kind": fault.kind,
                "size_c": fault.size_c,
                "per": "day since the lens was cleaned" if fault.kind == "lens" else None,
                "mean_c": float(added.mean()) if len(added) else None,
                "against_c": float(added.mean()) - middle[int(fleet.kind[d])] if len(added) else None,
                "first_day": str(house.clock.written_day(np.array([since]))[0]),
                "n": int(touched.sum()),
                "n_all": int(used.sum()),
                "ward": str(house.wards.name[fleet.ward[d]]),
                "registered_mode": str(fleet.mode[d]),
            }
        )
    return out


def _middles(house: House, latent: Latent) -> dict[int, float]:
    """Per kind, the median over its instruments of what instrument and lens added on average."""
    kinds, n = house.fleet.kind, len(house.fleet.id)
    added = np.bincount(latent.instrument, latent.instrument_part + latent.lens_part, n)
    used = np.bincount(latent.instrument, minlength=n)
    mean = added / np.maximum(used, 1)
    return {int(k): float(np.median(mean[(kinds == k) & (used > 0)])) for k in np.unique(kinds[used > 0])}


def _people(house: House, latent: Latent) -> list[dict[str, Any]]:
    staff = house.people
    scanned = np.bincount(latent.person[sites.SCANNED[latent.site]], minlength=len(staff))
    return [
        {
            "person": str(staff.id[o]),
            "size_c": float(staff.technique[o]),
            "wide_sd_c": float(staff.wide[o]),
            "n": int(scanned[o]),
            "signed_off": bool(np.isfinite(house.training.signed_off[o])),
        }
        for o in np.flatnonzero(staff.planted)
    ]


def _wards(house: House) -> dict[str, Any]:
    w = house.wards
    return {
        "offset_c": {str(name): float(v) for name, v in zip(w.name, w.offset, strict=True)},
        "cold_months": {
            "ward": str(w.name[w.cold]),
            "size_c": wards.COLD_EXCESS,
            "months": wards.COLD_MONTHS,
        },
        "copies": {"ward": str(w.name[w.copies])},
        "site_left_out": {"ward": str(w.name[w.siteless])},
        "in_fahrenheit": [str(name) for name in w.name[w.in_fahrenheit]],
    }


def _sites(latent: Latent) -> dict[str, Any]:
    """The constants of each site, and `mean_c`: how its readings truly lay against the temporal ones.

    `mean_c` holds everything that acts on the site (fleet, technique, low faults, who is read there), so it
    is what a comparison of whole sites should come to; `offset_c` is the site alone.
    """
    above = latent.measured - latent.core
    temporal = above[latent.site == sites.TEMPORAL].mean()
    return {
        name: {
            "offset_c": float(sites.ALPHA[s]),
            "mean_c": float(above[latent.site == s].mean() - temporal) if (latent.site == s).any() else None,
            "n": int((latent.site == s).sum()),
            "slope": float(sites.LAMBDA[s]),
            "error_sd_c": float(sites.ERROR_SD[s]),
            "patient_site_sd_c": float(sites.PATIENT_SITE_SD[s]),
        }
        for s, name in enumerate(sites.NAMES)
    }


def _spread() -> dict[str, float]:
    return {
        "patient_sd_c": course.PATIENT_SD,
        "course_sd_c": course.COURSE_SD,
        "course_hours": course.COURSE_HOURS,
        "instrument_sd_c": OFFSET_SD,
        "person_sd_c": people.TECHNIQUE_SD,
        "ward_sd_c": wards.WARD_SD,
        "ward_month_sd_c": wards.MONTH_SD,
    }
