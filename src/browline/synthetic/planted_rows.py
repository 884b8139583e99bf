"""The habits of wards in the truth file: which ward has which, and the rows that show it.

Row numbers count the rows under the headings of the readings file from 1.
"""

from typing import Any

import numpy as np

from browline.synthetic import charting_habits, sites
from browline.synthetic.arrays import Flags, Ints
from browline.synthetic.charting import SLIPS, Chart
from browline.synthetic.export import Export
from browline.synthetic.fleet import SCAN
from browline.synthetic.reading import House, Latent


def ward_habits(house: House) -> dict[str, Any]:
    """The wards' habits of charting; what each share is a share of stands beside its number in `habits`."""
    w, scanners = house.wards, house.fleet.ward[house.fleet.of_kind(SCAN)]
    scanners_by_ward = np.bincount(scanners, minlength=len(w))
    name = {habit: str(w.name[index]) for habit, index in vars(w.habits).items()}
    removed = house.clock.written(np.array([house.clock.moment(charting_habits.DEFAULT_GOES)]))[0]
    return {
        "spike": {
            "ward": str(w.name[w.spike]),
            "value_c": charting_habits.SPIKE_C,
            "share": charting_habits.SPIKE_SHARE,
            "until": str(removed),
            "share_after": charting_habits.SPIKE_LEFT,
        },
        "few_instruments": {
            "ward": str(w.name[w.spike]),
            "scanners": int(scanners_by_ward[w.spike]),
            "scanners_elsewhere": float(np.delete(scanners_by_ward, w.spike).mean()),
        },
        "batches": {
            "ward": name["batches"],
            "share_of_rounds": charting_habits.BATCH_ROUNDS,
            "share": charting_habits.BATCH_SHARE,
        },
        "edge": {"ward": name["edge"], "line_c": charting_habits.EDGE_C, "share": charting_habits.EDGE_SHARE},
        "on_the_hour": {"ward": name["hourly"], "share": charting_habits.HOURLY_SHARE},
        "keyed_late": {"ward": name["late"], "share_of_shifts": charting_habits.LATE_SHIFTS_ODD},
        "site_switching": {"ward": name["switching"], "share": charting_habits.SWITCH_SHARE},
    }


def planted_row_numbers(house: House, latent: Latent, cells: Chart, export: Export) -> dict[str, list[int]]:
    """Row numbers of everything in the chart that is not simply what was measured."""

    def rows(flags: Flags) -> list[int]:
        numbers: Ints = np.flatnonzero(flags[export.reading]) + 1
        return [int(r) for r in numbers]

    kinds = {name: rows(cells.slip == s) for s, name in enumerate(SLIPS)}
    kinds["fahrenheit-as-shown"] = rows(cells.mixed_unit)
    kinds["spike"] = rows(cells.numbers.spike)
    kinds["copied"] = rows(cells.numbers.copied)
    kinds["batched"] = rows(cells.numbers.batched)
    kinds["edge"] = rows(cells.numbers.edged)
    kinds["on-the-hour"] = rows(export.on_hour)
    kinds["keyed-late"] = rows(export.late)
    kinds["site-switched"] = rows(_switched(house, latent))
    kinds["site-left-out"] = rows(export.site_left_out)
    kinds["re-sent"] = [int(r) for r in np.flatnonzero(export.re_sent) + 1]
    return kinds


def _switched(house: House, latent: Latent) -> Flags:
    """First readings of one ward at another site than the stay's first reading before it."""
    first = np.flatnonzero((latent.retake_of < 0) & (latent.site != sites.BLADDER))
    same = np.diff(latent.stay[first], prepend=-1) == 0
    site_changed = np.diff(latent.site[first], prepend=-1) != 0
    out = np.zeros(len(latent), dtype=bool)
    out[first[same & site_changed]] = True
    out &= latent.ward == house.wards.habits.switching
    return out
