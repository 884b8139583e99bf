"""The transaction that is the import: everything of one file is named in the book at once, or not at all."""

from collections.abc import Sequence
from datetime import UTC, datetime

from browline.intake import Mapping, signature
from browline.store.event_log import recorded
from browline.store.importing.readings import Counted, Prepared
from browline.store.importing.ready import Part, Ready
from browline.store.importing.register_rows import carry_out, name_instruments, name_people
from browline.store.keys import pseudonym
from browline.store.models import Import, SavedMapping
from browline.store.sources import Source


def commit(ready: Ready, actor: str, notes: Sequence[str] = ()) -> list[Import]:
    """Write imports, what their tables say, and the event in one transaction; returns the imports."""
    with recorded(actor, "import") as event:
        imports = [_record(ready, part) for part in ready.parts]
        Import.objects.filter(pk=imports[0].pk).update(notes=list(notes))
        for part, row in zip(ready.parts, imports, strict=True):
            part.write(row)
        data = {"imports": [i.pk for i in imports], "digest": ready.digest, **ready.event}
        event.about(", ".join(i.label for i in imports), data)
    return imports


def mapped_part(source: Source, p: Prepared, m: Mapping, key: bytes) -> Part:
    """A table whose headings were mapped: readings name people and instruments, a register gets its rows."""

    def write(_: Import) -> None:
        if p.kind == "readings":
            name_people(p.people)
            name_instruments(p.instruments)
        else:
            carry_out(p.kind, p.entries, lambda text: pseudonym(key, "person", text))
        _remember(source, p, m)

    # A unit counts as filled where a column of the file says it.
    filled = [*p.filled, *sorted({"unit", "value_c", "value_f"} & set(m.columns))]
    reading: dict[str, object] = {"date_order": m.date_order}
    return Part(prepared=p, columns=dict(m.columns), filled=filled, reading=reading, write=write)


def changes_something(digest: str, prepared: Sequence[Prepared]) -> bool:
    """Whether anything would be new: some row taken, or a file never seen before."""
    return any(p.taken for p in prepared) or not Import.objects.filter(digest=digest).exists()


def _record(ready: Ready, part: Part) -> Import:
    p = part.prepared
    return Import.objects.create(
        kind=p.kind,
        label=f"{ready.format.upper()} {ready.digest[:6]}" + (f" {p.table}" if len(ready.parts) > 1 else ""),
        digest=ready.digest,
        rows=p.rows,
        taken=p.taken,
        already_here=p.already_here,
        set_aside=p.set_aside,
        repaired=p.repaired,
        mapping={"columns": part.columns, "filled": part.filled, **part.reading},
        reasons=[
            *(_counted(c, "reason") for c in p.reasons),
            *(_counted(c, "repair") for c in p.repairs),
            *(_counted(c, "note") for c in p.remarks),
        ],
        zone=ready.zone,
        readings_file=p.readings_file,
        set_aside_file=p.set_aside_file,
        first=_utc(p.first),
        last=_utc(p.last),
    )


def _counted(c: Counted, role: str) -> dict[str, object]:
    return {"role": role, "code": c.code, "count": c.count, "example_rows": list(c.rows)}


def _utc(moment: datetime | None) -> datetime | None:
    return moment.replace(tzinfo=UTC) if moment is not None and moment.tzinfo is None else moment


def _remember(source: Source, p: Prepared, m: Mapping) -> None:
    table = next(t for t in source.tables if t.label == p.table)
    SavedMapping.objects.update_or_create(
        signature=signature(table.headings), defaults={"kind": m.kind, "toml": m.as_toml()}
    )
