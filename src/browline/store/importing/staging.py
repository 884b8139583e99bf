"""One block of raw text rows staged as readings: typed, in Celsius, pseudonymous, each with a reason or none.

Every dictionary below is the intake's answer for the distinct texts of one column; the staging query joins
them to the rows. Row numbers are those of the file throughout.
"""

from collections.abc import Mapping as Dict
from dataclasses import dataclass
from typing import Any

from browline.intake import (
    TOTALS,
    Mapping,
    ValueRead,
    is_non_body_site,
    match_instrument,
    match_person,
    plain_ward,
    read_age,
    read_closed,
    read_identifier,
    read_note,
    read_site,
    read_unit,
    read_value,
    read_value_pair,
    redacted_value,
)
from browline.quantities.sites import SITES, UNKNOWN
from browline.store.importing.cells import NOTHING, Cells, listed
from browline.store.importing.dictionaries import (
    WORDS,
    distinct,
    key_columns,
    make_table,
    matching,
    read_texts,
)
from browline.store.importing.times import APART, placed, read_clock
from browline.store.keys import pseudonym, pseudonym_sql

SITE = f"ENUM {SITES}"

STORED = (
    "row, time, shift, value, charted, unit, site, word, instrument, person, ward, care, age, entered, flags, "
    "repairs, original, patient, stay"
)


@dataclass(frozen=True)
class Known:
    """What is known before the file is read: the book's key, registers and ward names, the file's zone and sort.

    `vouched`: she said that the values are people's, though they may not look so.
    `canonical`: the source has read the records itself and gives canonical cells, with a reason or none (FHIR).
    """

    key: bytes
    instruments: Dict[str, str]
    people: tuple[str, ...]
    ward_aliases: Dict[str, str]
    zone: str | None
    excel_1904: bool = False
    canonical: bool = False
    vouched: bool = False


def stage_block(con: Any, cells: Cells, mapping: Mapping, known: Known, number: int) -> None:
    """Make temp table `block` with `id`, the columns `STORED` and `reason` from the rows of `raw`.

    `number` is the block's place; a FHIR panel gives several readings under one row number, so `id` tells them apart.
    """
    line = f"row_number() OVER () + {number << 32}" if known.canonical else "row"
    con.execute(
        f"CREATE OR REPLACE TEMP {'TABLE' if known.canonical else 'VIEW'} lines AS SELECT {line} AS id, * FROM raw"
    )
    _read_words(con, cells, known)
    _read_values(con, cells, mapping, known)
    _read_sites(con, cells)
    _read_identifiers(con, cells, known)
    source = "lines"
    for role in ("time", "entered"):
        clock = read_clock(con, cells, role, mapping.date_order or "ymd", excel_1904=known.excel_1904)
        source = f"({placed(con, clock, known.zone, source)})"
    con.execute(f"CREATE OR REPLACE TEMP TABLE block AS {_staging_query(cells, mapping, known, source)}")


def _read_words(con: Any, cells: Cells, known: Known) -> None:
    def ward(text: str) -> tuple[str]:
        plain = plain_ward(text)
        return (known.ward_aliases.get(plain, plain),)

    register = tuple(known.instruments)

    def instrument(text: str) -> tuple[str | None, str | None, str | None]:
        name, repair = match_instrument(text, register)
        return name or None, repair, known.instruments.get(name) or None

    named = [("name", WORDS)]
    read_texts(con, cells, "ward", "d_ward", ward, named)
    read_texts(con, cells, "care", "d_care", lambda t: (read_closed("readings", "care", t),), named)
    read_texts(con, cells, "age", "d_age", lambda t: (read_age(t),), [("age", "DOUBLE")])
    read_texts(
        con, cells, "note", "d_note", lambda t: (",".join(sorted(read_note(t))),), [("flags", "VARCHAR")]
    )
    columns = [("name", WORDS), ("repair", "VARCHAR"), ("unit", "VARCHAR")]
    read_texts(con, cells, "instrument", "d_instrument", instrument, columns)


def _read_values(con: Any, cells: Cells, mapping: Mapping, known: Known) -> None:
    """Dictionary of (cells of the value, cell of the unit, the instrument's own unit)."""
    keys = _value_keys(cells, known)
    instrument = f"LEFT JOIN d_instrument ON d_instrument.cell = {cells.cell('instrument', 'r')}"
    combinations = distinct(con, keys, f"lines r {instrument}")
    texts = [APART.join(t or "" for t in texts[:-2]) for _, texts in combinations]
    units = [read_unit(unit or "") or mapping.unit or default for _, (*_, unit, default) in combinations]
    reads = [_read_value(text, unit) for text, unit in zip(texts, units, strict=True)]
    make_table(
        con,
        "d_value",
        {
            **key_columns(keys, [c for c, _ in combinations]),
            "value": ("DOUBLE", [r.celsius for r in reads]),
            "charted": ("DOUBLE", [r.number for r in reads]),
            "unit": (WORDS, [r.unit for r in reads]),
            "site": (SITE, [r.site for r in reads]),
            "repair": ("VARCHAR", [",".join(r.repairs) or None for r in reads]),
            "reason": ("VARCHAR", [r.reason for r in reads]),
            "original": ("VARCHAR", [_original(t, r) for t, r in zip(texts, reads, strict=True)]),
        },
    )


def _value_keys(cells: Cells, known: Known) -> dict[str, str]:
    """One column of values, or the Celsius and Fahrenheit columns kept apart; then what says their unit."""
    roles = ("value",) if cells.has("value") else ("value_c", "value_f")
    keys = {f"{role}_cell": cells.cell(role, "r") for role in (*roles, "unit")}
    return {**keys, "own": "d_instrument.unit" if any(known.instruments.values()) else NOTHING}


def _read_value(text: str, declared: str | None) -> ValueRead:
    if APART in text:
        return read_value_pair(*text.split(APART, 1))
    return read_value(text, declared)


def _original(text: str, read: ValueRead) -> str | None:
    if not text.strip(APART) or not (read.repairs or read.reason):
        return None
    return redacted_value(text) or "(not kept)"


def _read_sites(con: Any, cells: Cells) -> None:
    keys = _site_keys(cells)
    combinations = distinct(con, keys)
    reads = [read_site(site or "") for _, (site, _) in combinations]
    by_method = [read_site(method or "")[0] for _, (_, method) in combinations]
    best = [
        m if s[0] == UNKNOWN and not t[0] else s[0]
        for (_, t), s, m in zip(combinations, reads, by_method, strict=True)
    ]
    make_table(
        con,
        "d_site",
        {
            **key_columns(keys, [c for c, _ in combinations]),
            "site": (SITE, best),
            "word": ("VARCHAR", [r[1] or None for r in reads]),
            "nobody": (
                "BOOLEAN",
                [_is_nobodys(t[0], t[1], s) for (_, t), s in zip(combinations, best, strict=True)],
            ),
        },
    )


def _is_nobodys(site: str | None, method: str | None, best: str) -> bool:
    """Whether site or method name breathing gas, a room or the like, and no place on the body."""
    return best == UNKNOWN and any(is_non_body_site(text or "") for text in (site, method))


def _site_keys(cells: Cells) -> dict[str, str]:
    return {f"{role}_cell": cells.cell(role, "r") for role in ("site", "method")}


def _read_identifiers(con: Any, cells: Cells, known: Known) -> None:
    def person(text: str) -> tuple[int, str, str | None]:
        name, repair = match_person(text, known.people)
        return pseudonym(known.key, "person", name), name, repair

    for role in ("patient", "stay"):
        _read_pseudonyms(con, cells, role, known.key)
    columns = [("code", "BIGINT"), ("name", "VARCHAR"), ("repair", "VARCHAR")]
    read_texts(con, cells, "person", "d_person", person, columns)


def _read_pseudonyms(con: Any, cells: Cells, role: str, key: bytes) -> None:
    """Dictionary of patients or stays, keyed in SQL: there may be hundreds of thousands.

    Only texts that a spreadsheet may have spoilt are looked at one by one.
    """
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE given AS
        SELECT cell, nullif(trim(cell), '') AS text FROM (SELECT DISTINCT {cells.cell(role)} AS cell FROM lines)"""
    )
    odd = [t for (t,) in con.execute("SELECT DISTINCT text FROM given WHERE text ~ '.*[., ].*'").fetchall()]
    mended = {"text": ("VARCHAR", odd), "name": ("VARCHAR", [read_identifier(t)[0] or None for t in odd])}
    make_table(con, "mended", mended)
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE d_{role} AS
        SELECT cell, {pseudonym_sql(key, role, "name")} AS code FROM (
            SELECT l.cell, CASE WHEN m.text IS NULL THEN l.text ELSE m.name END AS name
            FROM given l LEFT JOIN mended m USING (text)
        ) WHERE name IS NOT NULL"""
    )


def _reason(cells: Cells, mapping: Mapping, known: Known) -> str:
    """SQL for why a row is set aside, the first that applies; NULL where it is taken."""
    tests = ["CASE WHEN r.odd IN ('long', 'quote') THEN 'row-broken' END"]
    if known.canonical:
        tests.append(cells.text("reason", "r"))
    if mapping.row_filter:
        words = ", ".join("'" + w.strip().lower().replace("'", "''") + "'" for w in mapping.row_filter.words)
        word = cells.text("keep", "r")
        tests.append(f"CASE WHEN coalesce(lower({word}), '') NOT IN ({words}) THEN 'not-a-temperature' END")
    tests.append("CASE WHEN d_site.nobody THEN 'not-a-temperature' END")
    if cells.has("note"):
        tests.append(
            "CASE WHEN list_contains(string_split(d_note.flags, ','), 'struck-out') THEN 'struck-out' END"
        )
    tests += [
        f"CASE WHEN r.time_reason IS NOT NULL THEN {_no_reading(cells)} END",
        "r.time_reason",
        "v.reason",
    ]
    return f"coalesce({', '.join(tests)})"


def _no_reading(cells: Cells) -> str:
    """SQL for what a row without a time may be instead of a reading: headings again, or a row of totals."""
    heading = cells.columns.get("time", cells.columns.get("date", "")).strip().lower().replace("'", "''")
    text = cells.text("time" if cells.has("time") else "date", "r")
    first = "lower(trim(coalesce(r.c0, r.c1, '')))" if len(cells.headings) > 1 else "''"
    return f"""CASE WHEN lower({text}) = '{heading}' THEN 'heading-row'
        WHEN regexp_matches({first}, '{TOTALS.pattern}') THEN 'totals-row' END"""


def _staging_query(cells: Cells, mapping: Mapping, known: Known, source: str) -> str:
    joins = " ".join(
        f"LEFT JOIN d_{role} ON d_{role}.cell = {cells.cell(role, 'r')}"
        for role in ("instrument", "ward", "care", "age", "note", "patient", "stay", "person")
    )
    repaired = f"replace({cells.text('repairs', 'r')}, ' ', ',')"
    return f"""
    SELECT r.id, r.row, r.time_instant AS time, r.time_shift AS shift, r.time_own AS own, v.value, v.charted, v.unit,
        CASE WHEN d_site.site = 'unknown' AND v.site IS NOT NULL THEN v.site ELSE d_site.site END AS site,
        d_site.word, d_instrument.name AS instrument, d_person.code AS person, d_ward.name AS ward,
        d_care.name AS care, d_age.age::FLOAT AS age, r.entered_instant AS entered, nullif(d_note.flags, '') AS flags,
        {listed(repaired, "v.repair", "r.time_repair", "d_instrument.repair", "d_person.repair")} AS repairs,
        v.original, d_patient.code AS patient, d_stay.code AS stay,
        {_reason(cells, mapping, known)} AS reason
    FROM {source} r
    {joins}
    LEFT JOIN d_value v ON {matching(_value_keys(cells, known), "v")}
    LEFT JOIN d_site ON {matching(_site_keys(cells), "d_site")}
    """
