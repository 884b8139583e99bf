"""How each table of a file is to be read: as given, as remembered, or as proposed; and what is refused at the door."""

from collections.abc import Mapping as Dict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from browline.columns import KINDS
from browline.errors import InputRefused, NotUnderstood, Undecided
from browline.intake import (
    Mapping,
    Profile,
    from_toml,
    in_words,
    is_temperature_word,
    propose,
    recognise,
    refuse_things,
    signature,
)
from browline.store.importing.looking import column_profiles, settle_order
from browline.store.models import Import, SavedMapping
from browline.store.sources import Source, Table


@dataclass(frozen=True)
class FileAnswers:
    """What she answered when this file was asked about; never kept for another file.

    - `people`: "yes" where she vouches that the values are people's temperatures, rightly read.
    - `ward`: whose roster it is, where neither the file nor somebody's home ward says so.
    - `same_names`: whether lines of one name are one person or two, by the key of a `SameName`; without an answer
      the later lines are set aside.
    """

    date_order: str | None = None
    people: str = ""
    ward: str = ""
    same_names: Dict[str, str] = field(default_factory=dict)


NO_ANSWERS = FileAnswers()
# One mapping for every table, or one for each table's label.
Given = Mapping | Dict[str, Mapping] | None


def decide_all(
    source: Source, kind: str | None, given: Given, answers: FileAnswers = NO_ANSWERS
) -> tuple[Source, list[Mapping]]:
    """The source with the tables that are ours, and their mappings; other sheets are left out and noted."""
    tables, mappings, refusals = [], [], []
    for table in source.tables:
        try:
            mappings.append(_decide(source, table, kind, given, answers))
            tables.append(table)
        except (NotUnderstood, Undecided):
            raise
        except InputRefused as refusal:
            refusals.append((table, refusal))
    if not tables:
        raise refusals[0][1]
    notes = tuple(
        f"{t.label.capitalize()} holds no table that browline knows and was left out." for t, _ in refusals
    )
    tables[0] = replace(tables[0], notes=(*tables[0].notes, *notes))
    return replace(source, tables=tuple(tables)), mappings


def refuse_changed_clock(source: Source, zone: str | None) -> None:
    """Refuse a file that is here already under another clock: every reading would come in a second time."""
    earlier = Import.objects.readings_of(source.digest).first()
    if earlier is not None and earlier.zone != (zone or ""):
        clock = f"the zone {earlier.zone}" if earlier.zone else "its times taken as they stand"
        raise InputRefused(
            f"This file is already in the book, read with {clock}.",
            "Read with another clock, every reading would come in a second time.",
            "Take that import back on the Readings page first, then bring the file again.",
        )


def refuse_changed_order(source: Source, mappings: Sequence[Mapping]) -> None:
    """Refuse a file that is here already with day and month in another order, as with another clock."""
    orders = {mapping.date_order for mapping in mappings if mapping.kind == "readings"}
    imports = Import.objects.readings_of(source.digest)
    orders_before = {row.mapping.get("date_order") for row in imports} - {None}
    if orders_before and not orders_before & orders:
        raise InputRefused(
            f"This file is already in the book, its dates read as {in_words(min(orders_before))}.",
            "Read in another order, every reading would come in a second time, months away.",
            "Take that import back on the Readings page first, then bring the file again.",
        )


def fhir_mapping(table: Table) -> Mapping:
    """FHIR cells come under canonical names, so nothing is guessed; columns without any text are not mapped."""
    profiles, _ = column_profiles(table)
    known = {c.name for c in KINDS["readings"]}
    columns = {
        p.heading: p.heading
        for p in profiles
        if p.heading in known and (p.filled or p.heading in ("time", "value"))
    }
    return Mapping("readings", columns, date_order="ymd")


def refuse_bodiless(mapping: Mapping, profiles: Sequence[Profile]) -> None:
    """Refuse readings whose temperatures are only those of gas, rooms or machines."""
    if mapping.kind != "readings":
        return
    values = [h for role, h in mapping.columns.items() if role in ("value", "value_c", "value_f")]
    items = [p.heading for p in profiles if any(map(is_temperature_word, p.texts))]
    refuse_things(profiles, values, items)


def settle(table: Table, mapping: Mapping, saved: Mapping | None) -> Mapping:
    """The mapping with the order of dates that the table's own rows settle; an earlier answer is only recalled."""
    try:
        return settle_order(table, mapping, decided=False)
    except Undecided as undecided:
        if saved is None or saved.date_order not in undecided.choices:
            raise
        earlier = f"An earlier file with these headings was read as {in_words(saved.date_order)}."
        raise undecided.reminded(earlier) from None


def _decide(source: Source, table: Table, kind: str | None, given: Given, answers: FileAnswers) -> Mapping:
    if kind is not None and kind not in KINDS:
        raise NotUnderstood(f"{kind!r} is not a kind.", f"The kinds are {', '.join(KINDS)}.", "Mend --as.")
    mapping = given if isinstance(given, Mapping) else (given or {}).get(table.label)
    if mapping is None and source.format == "fhir":
        return fhir_mapping(table)
    saved = saved_mapping(table)
    decided = mapping is not None and mapping.date_order is not None
    profiles, _ = column_profiles(table)
    if mapping is None:
        kind = kind or (saved.kind if saved else recognise(profiles))
        mapping = propose(kind, profiles, saved).mapping
    _complete(mapping, table)
    refuse_bodiless(mapping, profiles)
    if decided:
        return mapping
    try:
        return settle(table, mapping, saved)
    except Undecided as undecided:
        if answers.date_order not in undecided.choices:
            raise
        return replace(mapping, date_order=answers.date_order)


def _complete(mapping: Mapping, table: Table) -> None:
    absent = [h for h in mapping.columns.values() if h not in table.headings]
    if absent:
        raise NotUnderstood(
            f"The mapping names {len(absent)} heading(s) that this file does not have.",
            "Every heading on its right-hand side must stand in the file.",
            "Mend the mapping, or leave it out to have one proposed.",
        )
    if mapping.missing():
        raise NotUnderstood(
            f"No column for {' and '.join(mapping.missing())} was found.",
            f"A file of {mapping.kind} needs it.",
            "Say which heading holds it with --map FILE.toml, or on the Readings page.",
        )


def saved_mapping(table: Table) -> Mapping | None:
    saved = SavedMapping.objects.filter(signature=signature(table.headings)).first()
    return from_toml(saved.toml) if saved else None
