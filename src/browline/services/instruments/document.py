"""The instruments as they stand, as the document that JSON, terminal and page render."""

from datetime import date

from browline.documents.instruments import CountRow, InstrumentsDocument, RegisterRow, TaskRow, WardKitRow
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
from browline.instruments.fleet import Count
from browline.instruments.tasks import Kind


def instruments_document(fleet: Fleet) -> InstrumentsDocument:
    """The fleet's count, tasks, instruments and wards."""
    return InstrumentsDocument(
        count=_count(fleet.count),
        due=tuple(_task(task) for task in list_tasks(fleet)),
        instruments=tuple(_instrument(fleet, name) for name in fleet.places),
        wards=tuple(_ward(kit) for kit in fleet.wards),
    )


def kind_code(kind: Kind) -> str:
    """A kind of task as the document writes it: out-of-limits."""
    return kind.name.lower().replace("_", "-")


def _count(count: Count) -> CountRow:
    return CountRow(
        in_service=count.in_service,
        present=count.present,
        in_use=count.in_use,
        not_located=count.not_located,
        retired=count.retired,
        later=count.later,
        not_in_register=count.unlisted,
        round_made=count.walked,
        located_share=count.located / count.in_service if count.in_service else None,
        sentence=counted(count),
    )


def _task(task: Task) -> TaskRow:
    words = describe_task(task)
    return TaskRow(
        kind=kind_code(task.kind),
        instrument=task.entry.name,
        ward=task.entry.ward,
        title=words.title,
        reasons=words.reasons,
        action=words.action,
    )


def _instrument(fleet: Fleet, name: str) -> RegisterRow:
    place, lens, battery = fleet.places[name], fleet.lenses.get(name), fleet.batteries.get(name)
    check = fleet.checks.get(name)
    return RegisterRow(
        instrument=name,
        home=place.entry.ward,
        state=place.state.value,
        ward=place.ward,
        last_seen=place.last_sighting.time.isoformat() if place.last_sighting else None,
        lens=lens.outcome.value if lens else None,
        lens_due=_iso(lens.due) if lens else None,
        battery=forecast(battery) if battery else None,
        check_due=_iso(check.due) if check else None,
        check_out_of_limits=bool(check and check.out),
        check_error_c=check.out.error_c if check and check.out else None,
    )


def _ward(kit: WardKit) -> WardKitRow:
    return WardKitRow(
        ward=kit.ward,
        ready=kit.ready,
        need=kit.need,
        not_ready={name: tuple(fault.value for fault in faults) for name, faults in kit.unready.items()},
        missing=kit.missing,
        away=tuple(place.entry.name for place in kit.away),
        sentence=ward_sentence(kit),
    )


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
