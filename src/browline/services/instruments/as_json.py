"""The instruments as they stand, as plain data: ``as_json(fleet) -> {"format": "browline-instruments/1", ...}``."""

from datetime import date

from browline.instruments import (
    Fleet,
    Task,
    WardKit,
    counted,
    describe_task,
    forecast,
    list_tasks,
    ward_sentence,
)


def as_json(fleet: Fleet) -> dict[str, object]:
    """The fleet as plain data, for the terminal and other programs.

    `low` and `high` are kept empty: the share counts every instrument of the register, so no sample makes it uncertain.
    """
    count = fleet.count
    return {
        "format": "browline-instruments/1",
        "count": {
            "in_service": count.in_service,
            "present": count.present,
            "in_use": count.in_use,
            "not_located": count.not_located,
            "retired": count.retired,
            "later": count.later,
            "not_in_register": count.unlisted,
            "round_made": count.walked,
            "located_share": count.located / count.in_service if count.in_service else None,
            "low": None,
            "high": None,
            "sentence": counted(count),
        },
        "due": [_task(task) for task in list_tasks(fleet)],
        "instruments": [_instrument(fleet, name) for name in fleet.places],
        "wards": [_ward(ward) for ward in fleet.wards],
    }


def _task(task: Task) -> dict[str, object]:
    words = describe_task(task)
    return {
        "kind": task.kind.name.lower().replace("_", "-"),
        "instrument": task.entry.name,
        "ward": task.entry.ward,
        "title": words.title,
        "reasons": list(words.reasons),
        "action": words.action,
    }


def _instrument(fleet: Fleet, name: str) -> dict[str, object]:
    place, lens, battery = fleet.places[name], fleet.lenses.get(name), fleet.batteries.get(name)
    check = fleet.checks.get(name)
    return {
        "instrument": name,
        "home": place.entry.ward,
        "state": place.state.value,
        "ward": place.ward,
        "found": place.last_sighting.time.isoformat() if place.last_sighting else None,
        "lens": lens.outcome.value if lens else None,
        "lens_due": _iso(lens.due) if lens else None,
        "battery": forecast(battery) if battery else None,
        "check_due": _iso(check.due) if check else None,
        "check_out_of_limits": bool(check and check.out),
        "check_error_c": check.out.error_c if check and check.out else None,
    }


def _ward(kit: WardKit) -> dict[str, object]:
    return {
        "ward": kit.ward,
        "ready": list(kit.ready),
        "need": kit.need,
        "not_ready": {name: [fault.value for fault in faults] for name, faults in kit.unready.items()},
        "missing": list(kit.missing),
        "away": [place.entry.name for place in kit.away],
        "sentence": ward_sentence(kit),
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
