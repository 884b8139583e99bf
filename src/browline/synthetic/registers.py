"""The small tables that go with the readings: instruments, cleanings, checks, people, sessions, events."""

import numpy as np

from browline.synthetic.arrays import Floats, Table, Texts, texts
from browline.synthetic.charting_habits import DEFAULT_GOES
from browline.synthetic.cleaning import BENCH_UNCERTAINTY, REFERENCE, Checks
from browline.synthetic.export import FORM_HALVES
from browline.synthetic.fleet import KINDS
from browline.synthetic.reading import House

IN_USE_SINCE_DAYS = 400


def registers(house: House, checks: Checks) -> dict[str, Table]:
    """All tables but the readings, by kind, with the columns of the contract as text."""
    return {
        "instruments": _instruments(house),
        "cleanings": _cleanings(house),
        "checks": _checks(house, checks),
        "people": _people(house),
        "sessions": _sessions(house),
        "events": _events(house),
    }


def _same(word: str, n: int) -> Texts:
    out = np.empty(n, dtype=object)
    out[:] = word
    return out


def _instruments(house: House) -> Table:
    fleet, n = house.fleet, len(house.fleet)
    return {
        "instrument": fleet.id,
        "unit": texts(("C", "F"))[fleet.registered_fahrenheit.astype(np.int64)],
        "mode": fleet.mode,
        "kind": texts(KINDS)[fleet.kind],
        "model": fleet.model,
        "ward": house.wards.name[fleet.ward],
        "from": house.clock.written_day(delivery_time(house)),
        "until": _same("", n),
    }


def delivery_time(house: House) -> Floats:
    """The instant each instrument came into use; before the export for most."""
    first, last = house.clock.span
    proportion = house.fleet.delivered
    return np.where(proportion > 0, first + proportion * (last - first), first - 24.0 * IN_USE_SINCE_DAYS)


def _cleanings(house: House) -> Table:
    c = house.cleanings
    exported = c.time >= house.clock.span[0]
    who, when = c.instrument[exported], c.time[exported]
    order = np.argsort(when, kind="stable")
    n = len(order)
    return {
        "instrument": house.fleet.id[who[order]],
        "time": house.clock.written(when[order]),
        "part": _same("lens", n),
        "agent": _same("alcohol swab", n),
    }


def _checks(house: House, checks: Checks) -> Table:
    n = len(checks.instrument)
    return {
        "instrument": house.fleet.id[checks.instrument],
        "time": house.clock.written(checks.time),
        "reference": _same(f"{REFERENCE:.2f}", n),
        "shown": texts([f"{v:.1f}" for v in checks.displayed]),
        "unit": _same("C", n),
        "mode": _same("direct", n),
        "ambient": texts([f"{v:.1f}" for v in checks.ambient]),
        "uncertainty": _same(f"{BENCH_UNCERTAINTY:.2f}", n),
        "result": checks.results(),
        "person": _same(str(house.people.id[house.people.educator]), n),
    }


def _people(house: House) -> Table:
    people, n = house.people, len(house.people)
    days = 30 + (np.arange(n) * 97) % 4000
    began: Floats = house.clock.span[0] - 24.0 * days.astype(np.float64)
    return {
        "person": people.id,
        "name": people.name,
        "role": people.role,
        "ward": house.wards.name[people.ward],
        "from": house.clock.written_day(began),
        "until": _same("", n),
    }


def _sessions(house: House) -> Table:
    t = house.training
    return {
        "person": house.people.id[t.person],
        "time": house.clock.written(t.time),
        "ward": house.wards.name[t.ward],
        "outcome": t.words(),
        "assessor": _same(str(house.people.id[house.people.educator]), len(t.person)),
    }


def _events(house: House) -> Table:
    """The forms, the deliveries (by ward) and the start of training on each ward, by time."""
    clock, fleet, wards = house.clock, house.fleet, house.wards
    new = np.flatnonzero(fleet.delivered > 0)
    descriptions = [
        "observation form changed: site must be chosen",
        "observation form: default temperature removed",
    ]
    descriptions += ["instruments delivered"] * len(new) + ["training began"] * len(wards)
    where = ["", str(wards.name[wards.spike]), *wards.name[fleet.ward[new]], *wards.name]
    when = np.concatenate(
        [
            [clock.moment(FORM_HALVES), clock.moment(DEFAULT_GOES)],
            delivery_time(house)[new],
            house.training.starts,
        ]
    )
    order = np.argsort(when, kind="stable")
    return {
        "time": clock.written(when[order]),
        "what": texts(descriptions)[order],
        "ward": texts(where)[order],
    }
