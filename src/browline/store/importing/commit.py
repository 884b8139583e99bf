"""The transaction that is the import: everything of one file is named in the book at once, or not at all."""

from collections.abc import Sequence
from typing import Any

from browline.intake import Mapping, signature
from browline.store.event_log import recorded
from browline.store.importing.readings import Prepared
from browline.store.importing.standing import carry_out, name_instruments, name_people
from browline.store.keys import pseudonym
from browline.store.models import Import, SavedMapping
from browline.store.sources import Source


def commit(
    source: Source,
    prepared: Sequence[Prepared],
    mappings: Sequence[Mapping],
    key: bytes,
    zone: str | None,
    actor: str,
    notes: Sequence[str] = (),
) -> list[Import]:
    """Write imports, register rows, mappings and the event in one transaction; returns the imports."""
    with recorded(actor, "import") as event:
        made = [_record(source, p, m, zone) for p, m in zip(prepared, mappings, strict=True)]
        Import.objects.filter(pk=made[0].pk).update(notes=list(notes))
        for p, m in zip(prepared, mappings, strict=True):
            if p.kind == "readings":
                name_people(p.people)
                name_instruments(p.instruments)
            else:
                carry_out(p.kind, p.deeds, lambda text: pseudonym(key, "person", text))
            _remember(source, p, m)
        event.about(
            ", ".join(i.label for i in made), {"imports": [i.pk for i in made], "digest": source.digest}
        )
    return made


def changes_something(source: Source, prepared: Sequence[Prepared]) -> bool:
    """Whether anything would be new: some row taken, or a file never seen before."""
    return any(p.taken for p in prepared) or not Import.objects.filter(digest=source.digest).exists()


def filled(p: Prepared, m: Mapping) -> list[str]:
    """Columns that hold something in the rows taken; a unit counts where a column of the file says it."""
    return [*p.filled, *sorted({"unit", "value_c", "value_f"} & set(m.columns))]


def _record(source: Source, p: Prepared, m: Mapping, zone: str | None) -> Import:
    return Import.objects.create(
        kind=p.kind,
        label=f"{source.format.upper()} {source.digest[:6]}"
        + (f" {p.table}" if len(source.tables) > 1 else ""),
        digest=source.digest,
        rows=p.rows,
        taken=p.taken,
        already_here=p.already_here,
        set_aside=p.set_aside,
        repaired=p.repaired,
        mapping={"columns": dict(m.columns), "filled": filled(p, m), "date_order": m.date_order},
        reasons=[_counted(c, "reason") for c in p.reasons] + [_counted(c, "repair") for c in p.repairs],
        zone=zone or "",
        readings_file=p.readings_file,
        set_aside_file=p.set_aside_file,
        first=_utc(p.first),
        last=_utc(p.last),
    )


def _counted(c: Any, role: str) -> dict[str, Any]:
    return {"role": role, "code": c.code, "count": c.count, "example_rows": list(c.rows)}


def _utc(moment: Any) -> Any:
    from datetime import UTC

    return moment.replace(tzinfo=UTC) if moment is not None and moment.tzinfo is None else moment


def _remember(source: Source, p: Prepared, m: Mapping) -> None:
    table = next(t for t in source.tables if t.label == p.table)
    SavedMapping.objects.update_or_create(
        signature=signature(table.headings), defaults={"kind": m.kind, "toml": m.as_toml()}
    )
