"""Propose a mapping: by heading where one fits, by content where it does not, told column by column.

Every pair of a column of ours and a heading of the file gets a score; the best pairs are taken first, each
side once. Columns that look like names, births or free text stay unmapped, and unmapped columns are not stored.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from browline.columns import KINDS, Column, required
from browline.errors import Undecided
from browline.intake.content import content_score, content_unit, could_be, look
from browline.intake.dates import settle_dates
from browline.intake.headings import heading_score, heads_identifiers, is_forbidden, names_staff
from browline.intake.long_format import is_temperature_word, long_format
from browline.intake.mapping import Mapping
from browline.intake.not_a_body import names_a_thing
from browline.intake.profile import Profile, safe_heading
from browline.intake.units import read_unit

_LEAST = 0.5
_WORD_FOR_WORD = 0.9
_BY_CONTENT_ONLY = 0.9  # content alone never beats a heading that fits word for word


@dataclass(frozen=True)
class Guess:
    """A proposed mapping: `reasons` per canonical column, headings left `unmapped`, sentences of `doubt`."""

    mapping: Mapping
    reasons: dict[str, str]
    unmapped: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class _Pair:
    score: float
    column: str
    heading: str
    reason: str


def propose(kind: str, profiles: Sequence[Profile], saved: Mapping | None = None) -> Guess:
    """The mapping of a table of this `kind`; a `saved` one is followed as far as its headings are there.

    >>> from browline.intake.profile import profile
    >>> made = propose("readings", [profile("Obs time", ["2026-03-07 10:00"]), profile("Temp", ["36.6"])])
    >>> made.mapping.columns
    {'time': 'Obs time', 'value': 'Temp'}
    """
    by_heading = {p.heading: p for p in profiles}
    if saved is not None and saved.kind == kind and _headings_used(saved) <= set(by_heading):
        reasons = dict.fromkeys(saved.columns, "as saved")
        # The order of dates is each file's own: what an earlier one was read by decides nothing here.
        order, unsettled = _date_order(saved.columns, by_heading)
        mapping = replace(saved, date_order=order)
        return Guess(mapping, reasons, _unmapped(profiles, saved), tuple(unsettled))
    taken = _assign(_filled_first(kind, _pairs(kind, profiles), by_heading))
    columns = {pair.column: pair.heading for pair in taken}
    columns = _two_units(kind, columns, profiles)
    columns = _two_part_times(columns, by_heading)
    mapping, doubts = _mapping_and_doubts(kind, columns, profiles)
    reasons = {p.column: p.reason for p in taken} | {
        role: "heading says" for role in mapping.columns if role in ("value_c", "value_f", "date", "clock")
    }
    reasons = {name: reasons.get(name, "content looks like it") for name in mapping.columns}
    return Guess(mapping, reasons, _unmapped(profiles, mapping), doubts + _name_doubts(profiles, mapping))


def _pairs(kind: str, profiles: Sequence[Profile]) -> list[_Pair]:
    columns = list(KINDS[kind])
    if any(c.name == "time" for c in columns):
        columns += [_DATE, _CLOCK]
    return [pair for p in profiles for c in columns if (pair := _pair(c, p)) and pair.score >= _LEAST]


_DATE = Column("date", "time", False, "the day, beside a column for the time of day")
_CLOCK = Column("clock", "time", False, "the time of day, beside a column for the day")


def _pair(column: Column, profile: Profile) -> _Pair | None:
    """The score of one column of ours against one of the file; None where it cannot be."""
    if column.name == "name":
        return _staff_name(column, profile)
    if is_forbidden(profile.heading) or not could_be(column.name, column.type, profile):
        return None
    if _is_no_value(column.name, profile.heading):
        return None
    named = heading_score(profile.heading, column.name)
    content = content_score(column, profile)
    if named >= _LEAST:
        sure = named + 0.2 * content + (0.1 if column.required else 0)
        return _Pair(sure, column.name, profile.heading, f"heading says “{safe_heading(profile.heading)}”")
    if content:
        return _Pair(content * _BY_CONTENT_ONLY, column.name, profile.heading, "content looks like it")
    return None


def _is_no_value(column: str, heading: str) -> bool:
    """Whether a heading that may look like a value's heads identifiers, or the temperature of a thing."""
    measured = column in ("value", "reference", "shown")
    return (measured and heads_identifiers(heading)) or (column == "value" and names_a_thing(heading))


def _staff_name(column: Column, profile: Profile) -> _Pair | None:
    """Names are taken of staff only, and only where the heading says so word for word."""
    if not names_staff(profile.heading):
        return None
    return _Pair(1.0, column.name, profile.heading, f"heading says “{safe_heading(profile.heading)}”")


def _filled_first(kind: str, pairs: list[_Pair], by_heading: dict[str, Profile]) -> list[_Pair]:
    """The pairs without empty columns where a filled one may be the same thing: any for a column that is
    needed, else one whose heading fits word for word."""
    needed = set(required(kind))
    rivals = {
        p.column for p in pairs
        if by_heading[p.heading].filled and (p.column in needed or p.score >= _WORD_FOR_WORD)
    }  # fmt: skip
    return [p for p in pairs if by_heading[p.heading].filled or p.column not in rivals]


def _assign(pairs: list[_Pair]) -> list[_Pair]:
    """The best pairs first, each column and each heading once."""
    columns: set[str] = set()
    headings: set[str] = set()
    taken = []
    for pair in sorted(pairs, key=lambda p: -p.score):
        if pair.column not in columns and pair.heading not in headings:
            taken.append(pair)
            columns.add(pair.column)
            headings.add(pair.heading)
    return taken


def _two_part_times(columns: dict[str, str], by_heading: dict[str, Profile]) -> dict[str, str]:
    """Keep date and clock only where both are there and no column holds the whole moment."""
    roles = dict(columns)
    clock, date = roles.pop("clock", None), roles.pop("date", None)
    whole = "time" in roles and look(by_heading[roles["time"]]).moment >= 0.5
    day = date or roles.get("time")
    if whole or not clock or not day:
        return roles if "time" in roles or not date else roles | {"time": date}
    roles.pop("time", None)
    return roles | {"date": day, "clock": clock}


def _two_units(kind: str, columns: dict[str, str], profiles: Sequence[Profile]) -> dict[str, str]:
    """Two temperature columns, one headed °C and one °F, are one reading charted twice (trap 2)."""
    if kind != "readings":
        return columns
    headed = {
        unit: [p.heading for p in profiles if heading_score(p.heading, "value") >= 0.9
               and read_unit(p.heading) == unit and could_be("value", "number", p) and p.filled]
        for unit in ("C", "F")
    }  # fmt: skip
    if not headed["C"] or not headed["F"]:
        return columns
    pair = {"value_c": headed["C"][0], "value_f": headed["F"][0]}
    return {n: h for n, h in columns.items() if n != "value" and h not in pair.values()} | pair


def _mapping_and_doubts(
    kind: str, columns: dict[str, str], profiles: Sequence[Profile]
) -> tuple[Mapping, tuple[str, ...]]:
    """The mapping with unit, date order and long-format filter, and what is not sure about them."""
    by_heading = {p.heading: p for p in profiles}
    doubts: list[str] = []
    unit, keep, mixed = None, None, False
    value = by_heading.get(columns.get("value", columns.get("shown", "")))
    if value is not None:
        unit = read_unit(value.heading)
        if kind == "readings":
            free = [p for p in profiles if p.heading not in columns.values()]
            long = long_format(free, content_unit(value))
            keep, unit = long.keep, unit or long.unit
            if long.unit_heading and "unit" not in columns:
                columns = columns | {"unit": long.unit_heading}
            doubts += long.doubts
            mixed = not long.alone
        if unit is None and "unit" not in columns and not mixed:
            unit = content_unit(value)
            doubts += _unit_doubt(unit)
    order, unsettled = _date_order(columns, by_heading)
    fallback = _site_fallback(columns, by_heading, keep.heading if keep else None)
    return Mapping(kind, columns, unit, order, keep=keep, site_fallback=fallback), (*doubts, *unsettled)


def _site_fallback(
    columns: dict[str, str], by_heading: dict[str, Profile], filter_heading: str | None
) -> str | None:
    """The heading of a method, or of a long format's names, whose words often name a site."""
    for heading in (columns.get("method"), filter_heading):
        if heading and look(by_heading[heading]).site >= 0.2:
            return heading
    return None


def _unit_doubt(unit: str | None) -> list[str]:
    if unit is None:
        return ["The file does not say the unit and its numbers come in both: each is read by its size."]
    words = {"C": "Celsius", "F": "Fahrenheit"}[unit]
    return [f"The file does not say the unit; nearly all its numbers are degrees {words}."]


def _date_order(columns: dict[str, str], by_heading: dict[str, Profile]) -> tuple[str | None, list[str]]:
    """The date order as far as the sample of texts settles it; the store asks all of them again."""
    roles = ("time", "date", "entered", "entered_date", "from", "until")
    texts = [t for role in roles if role in columns for t in by_heading[columns[role]].texts]
    try:
        return settle_dates(texts), []
    except Undecided as undecided:
        return None, [f"{undecided.came} {undecided.question}"]


def _name_doubts(profiles: Sequence[Profile], mapping: Mapping) -> tuple[str, ...]:
    unmapped = _unmapped(profiles, mapping)
    named = [p.heading for p in profiles if p.heading in unmapped and _may_hold_names(p)]
    return tuple(f"The column “{safe_heading(h)}” may hold names or births; it is not taken." for h in named)


def _may_hold_names(profile: Profile) -> bool:
    by_content = look(profile).name >= 0.5 and not any(map(is_temperature_word, profile.texts))
    return is_forbidden(profile.heading) or by_content


def _unmapped(profiles: Sequence[Profile], mapping: Mapping) -> tuple[str, ...]:
    return tuple(p.heading for p in profiles if p.heading not in _headings_used(mapping))


def _headings_used(mapping: Mapping) -> set[str]:
    """Every heading a mapping names."""
    others = (mapping.site_fallback, mapping.keep.heading if mapping.keep else None)
    return {*mapping.columns.values(), *(h for h in others if h)}
