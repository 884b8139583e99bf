"""Tables of the registers made ready: instruments, cleanings, checks, people, sessions, dated events.

These are small, so rows are read one by one in Python. Each row becomes an entry to carry out later in the
import's own transaction; a row that says what the book already says counts as already here.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from browline.columns import KINDS, Column, required
from browline.intake import Mapping, join_time, plain_ward, read_closed, read_time, read_unit, read_value
from browline.store.importing.cells import headed
from browline.store.importing.readings import EXAMPLES, Counted, Prepared
from browline.store.importing.register_rows import identity, stored_identities
from browline.store.importing.staging import Known
from browline.store.importing.times import APART, time_text
from browline.store.keys import pseudonym
from browline.store.memory import working_memory
from browline.store.sources import Table

Row = dict[str, Any]


class SetAside(Exception):
    """A register row that cannot be taken; holds the reason's code."""


def prepare_register(table: Table, mapping: Mapping, known: Known) -> Prepared:
    """Read a register table into entries; nothing is written."""
    entries, aside, again, rows = [], defaultdict(list), 0, 0
    known_rows = stored_identities(mapping.kind)
    for number, texts in _rows(table, mapping):
        rows += 1
        try:
            entry = _read_row(mapping, texts, known)
        except SetAside as reason:
            aside[str(reason)].append(number)
            continue
        if identity(mapping.kind, entry) in known_rows:
            again += 1
            continue
        known_rows.add(identity(mapping.kind, entry))
        entries.append(entry)
    set_aside = sum(map(len, aside.values()))
    counted = tuple(Counted(code, len(n), tuple(n[:EXAMPLES])) for code, n in sorted(aside.items()))
    filled = tuple(
        sorted({name for entry in entries for name, value in entry.items() if value not in (None, "")})
    )
    times = [d["time"] for d in entries if isinstance(d.get("time"), datetime)]
    return Prepared(
        table=table.label,
        kind=mapping.kind,
        rows=rows,
        taken=len(entries),
        already_here=again,
        set_aside=set_aside,
        repaired=0,
        reasons=counted,
        repairs=(),
        entries=tuple(entries),
        filled=filled,
        first=min(times, default=None),
        last=max(times, default=None),
    )


def _rows(table: Table, mapping: Mapping) -> Iterator[tuple[int, dict[str, str | None]]]:
    con, cells = working_memory(), headed(table.headings, mapping.columns)
    names = [c.name for c in KINDS[mapping.kind]]
    picks = ", ".join(time_text(cells, n) if n == "time" else cells.text(n) for n in names)
    for _ in table.blocks(con, "raw"):
        for number, *texts in con.execute(f"SELECT row, {picks} FROM raw ORDER BY row").fetchall():
            yield number, dict(zip(names, texts, strict=True))


def _read_row(mapping: Mapping, texts: dict[str, str | None], known: Known) -> Row:
    row: Row = {}
    for column in KINDS[mapping.kind]:
        text = texts[column.name]
        if text is None:
            if column.required:
                raise SetAside("cell-missing")
            row[column.name] = None
        else:
            row[column.name] = _READERS[column.type](mapping, column, text, texts, known)
    if "person" in required(mapping.kind):
        row["pseudonym"] = pseudonym(known.key, "person", row["person"])
    return row


def _time(mapping: Mapping, column: Column, text: str, texts: Any, known: Known) -> datetime:
    whole = join_time(*text.split(APART, 1)) if APART in text else text
    read = read_time(whole, mapping.date_order or "ymd", excel_1904=known.excel_1904)
    if read.when is None:
        raise SetAside(read.reason or "time-unread")
    if read.offset is not None:
        return (read.when - timedelta(minutes=read.offset)).replace(tzinfo=UTC)
    return read.when.replace(tzinfo=ZoneInfo(known.zone or "UTC")).astimezone(UTC)


def _date(mapping: Mapping, column: Column, text: str, texts: Any, known: Known) -> date:
    read = read_time(text, mapping.date_order or "ymd", excel_1904=known.excel_1904)
    if read.when is None:
        raise SetAside(read.reason or "time-unread")
    return read.when.date()


def _number(mapping: Mapping, column: Column, text: str, texts: Any, known: Known) -> float:
    declared = read_unit(texts.get("unit") or "") or mapping.unit
    if column.name in ("reference", "shown"):
        read = read_value(text, declared)
        if read.celsius is None:
            raise SetAside(read.reason or "no-number")
        return read.celsius
    try:
        number = float(text.replace(",", "."))
    except ValueError as fault:
        raise SetAside("number-unread") from fault
    if column.name == "uncertainty" and declared == "F":
        return number / 1.8
    if column.name == "ambient" and declared == "F":
        return (number - 32) / 1.8
    return number


def _word(mapping: Mapping, column: Column, text: str, texts: Any, known: Known) -> str:
    if column.name == "ward":
        plain = plain_ward(text)
        return known.ward_aliases.get(plain, plain)
    return text[:160]


_READERS: dict[str, Callable[[Mapping, Column, str, Any, Known], Any]] = {
    "time": _time,
    "date": _date,
    "number": _number,
    "unit": lambda m, c, text, t, k: read_unit(text) or "",
    "site": _word,
    "identifier": lambda m, c, text, t, k: text[:80],
    "word": _word,
    "closed": lambda m, c, text, t, k: read_closed(m.kind, c.name, text) or "",
}
