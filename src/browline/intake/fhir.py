"""FHIR R4 resources as the same cells a table would hold, so that one import reads both.

Observations of body temperature give rows; Bundles and components are opened; everything else gives a reason.
Nothing here raises on a malformed resource: nonsense is a row with a reason. Display names of people are not
taken, except a patient's where there is nothing else (it becomes a keyed pseudonym before it is stored).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from browline.intake.fhir_codes import (
    ABSENT_REASONS,
    BODY_SURFACE_LOINC,
    LOINC,
    UCUM,
    UCUM_UNITS,
    place_site,
    temperature_site,
)
from browline.intake.site_words import read_site
from browline.intake.units import is_other_unit, only_unit
from browline.quantities.sites import UNKNOWN

Json = dict[str, Any]
_DEEPEST = 20


@dataclass(frozen=True)
class FhirRow:
    """One row: `cells` by canonical column (texts, `unit` as C, F or ""), a `reason` to set it aside or None,
    and `repairs` made in reading it. The value and time are still texts for `read_value` and `read_time`."""

    cells: dict[str, str]
    reason: str | None = None
    repairs: tuple[str, ...] = ()


def fhir_rows(resource: Any, _depth: int = 0) -> Iterator[FhirRow]:
    """The rows of one resource (a parsed line of NDJSON, or a whole Bundle).

    >>> row = next(fhir_rows({"resourceType": "Observation", "status": "final",
    ...     "code": {"coding": [{"system": "http://loinc.org", "code": "8331-1"}]},
    ...     "effectiveDateTime": "2026-03-07T10:00:00Z", "valueQuantity": {"value": 37.2, "code": "Cel"}}))
    >>> row.cells["value"], row.cells["unit"], row.cells["site"], row.reason
    ('37.2', 'C', 'oral', None)
    """
    kind = _text(_table(resource).get("resourceType"))
    if kind == "Bundle" and _depth < _DEEPEST:
        for entry in _rows(resource.get("entry")):
            yield from fhir_rows(entry.get("resource"), _depth + 1)
    elif kind == "Observation":
        yield from _observation(resource)
    else:
        yield FhirRow(
            {}, "not-a-temperature" if re.fullmatch("[A-Z][A-Za-z]{2,60}", kind) else "resource-unread"
        )


def _observation(resource: Json) -> Iterator[FhirRow]:
    if not _rows(_table(resource.get("code")).get("coding")) and not _rows(resource.get("component")):
        yield FhirRow({}, "resource-unread")
        return
    parts = [part for part in _rows(resource.get("component")) if _is_temperature(part)]
    if _is_temperature(resource) and (_has_value(resource) or not parts):
        yield _row(resource, resource)
    for part in parts:
        yield _row(resource, part)
    if not _is_temperature(resource) and not parts:
        panel = bool(_rows(resource.get("hasMember"))) and not _has_value(resource)
        yield FhirRow({}, "panel-without-values" if panel else "not-a-temperature")


def _is_temperature(part: Json) -> bool:
    codings = _codings(part.get("code"))
    if any(temperature_site(system, code) is not None for system, code, _ in codings):
        return True
    surface = any(code == BODY_SURFACE_LOINC and system == LOINC for system, code, _ in codings)
    return surface and _place(part.get("bodySite")) == "temporal"


def _has_value(part: Json) -> bool:
    return any(key.startswith("value") for key in part)


def _row(resource: Json, part: Json) -> FhirRow:
    """The row of an Observation, `part` being itself or the component that holds the temperature."""
    time, time_reason, time_repair = _time(resource)
    value, unit, value_reason, value_repair = _value(part)
    site, site_repair = _site(resource, part)
    cells = {
        "time": time,
        "value": value,
        "unit": unit,
        "site": site,
        "method": _method(resource),
        "instrument": _instrument(resource),
        "person": _performer(resource),
        "patient": _reference(resource.get("subject"), name=True),
        "stay": _reference(resource.get("encounter"), name=False),
        "note": "corrected" if resource.get("status") in ("corrected", "amended") else "",
    }
    struck = "struck-out" if resource.get("status") in ("entered-in-error", "cancelled") else None
    repairs = tuple(r for r in (time_repair, value_repair, site_repair) if r)
    return FhirRow({k: v for k, v in cells.items() if v}, struck or value_reason or time_reason, repairs)


def _time(resource: Json) -> tuple[str, str | None, str | None]:
    """Time text, reason, repair: the moment of measurement, a period's start, or at the last the time of issue."""
    period = _table(resource.get("effectivePeriod"))
    events = _table(resource.get("effectiveTiming")).get("event")
    event = events[0] if isinstance(events, list) and events else None
    for text, repair in (
        (_text(resource.get("effectiveDateTime")), None),
        (_text(resource.get("effectiveInstant")), None),
        (_text(period.get("start")), "period-start"),
        (_text(event), None),
        (_text(resource.get("issued")), "issued-as-time"),
    ):
        if text:
            day_only = re.fullmatch(r"\d{4}(-\d\d(-\d\d)?)?", text)
            return text, "time-of-day-missing" if day_only else None, repair
    return "", "no-time", None


def _value(part: Json) -> tuple[str, str, str | None, str | None]:
    """Value text, unit, reason, repair of an Observation or component."""
    quantity = _table(part.get("valueQuantity"))
    text = (
        _number(quantity.get("value")) or _number(part.get("valueInteger")) or _text(part.get("valueString"))
    )
    if not text:
        absent = {code for _, code, _ in _codings(part.get("dataAbsentReason"))}
        return "", "", next((r for code, r in ABSENT_REASONS.items() if code in absent), "no-value"), None
    comparator = _text(quantity.get("comparator"))
    if comparator:
        return comparator + text, "", "reads-lo" if "<" in comparator else "reads-hi", None
    unit, reason, repair = _unit(quantity)
    return text, unit, reason, repair


def _unit(quantity: Json) -> tuple[str, str | None, str | None]:
    """Unit, reason, repair of a quantity: the UCUM code, else its words; anything but °C and °F is refused."""
    code, words = _text(quantity.get("code")), _text(quantity.get("unit"))
    if code in UCUM_UNITS and _text(quantity.get("system")) in (UCUM, ""):
        return UCUM_UNITS[code], None, None
    said = [w for w in (code, words) if w]
    for text in said:
        unit = only_unit(text)
        if unit:
            return unit, None, "unit-by-words"
    refused = any(is_other_unit(t) for t in said) or bool(said)
    return "", "unit-not-accepted" if refused else None, None


def _site(resource: Json, part: Json) -> tuple[str, str | None]:
    """The site by body structure, by code, by method and by thermometer type; two that disagree are unknown."""
    place = _place(part.get("bodySite")) or _place(resource.get("bodySite"))
    coded = [
        temperature_site(s, c) for holder in (part, resource) for s, c, _ in _codings(holder.get("code"))
    ]
    named = {s for s in (place, *coded) if s and s != UNKNOWN}
    if len(named) > 1:
        return UNKNOWN, "sites-disagree"
    by_tool = _place(resource.get("method")) or _place(_device_code(resource))
    return (named.pop() if named else by_tool or UNKNOWN), None


def _place(concept: Any) -> str | None:
    """The site a CodeableConcept names, by its codes, then by its words; None where it names none."""
    for system, code, _ in _codings(concept):
        if place_site(system, code):
            return place_site(system, code)
    words = [_text(_table(concept).get("text")), *(display for _, _, display in _codings(concept))]
    sites = [site for word in words if (site := read_site(word)[0]) != UNKNOWN]
    return sites[0] if sites else None


def _method(resource: Json) -> str:
    """The display of a coded method or thermometer type; free text is not taken."""
    for concept in (resource.get("method"), _device_code(resource)):
        for system, _, display in _codings(concept):
            if system.startswith("http") and display and not re.search(r"\d", display):
                return display[:60]
    return ""


def _device_code(resource: Json) -> Any:
    for extension in _rows(resource.get("extension")):
        if _text(extension.get("url")).endswith("observation-deviceCode"):
            return extension.get("valueCodeableConcept")
    return None


def _instrument(resource: Json) -> str:
    """The thermometer's identifier: of the reference, of the contained Device, else the reference itself."""
    device = _table(resource.get("device"))
    target = _text(device.get("reference"))
    contained = (r for r in _rows(resource.get("contained")) if "#" + _text(r.get("id")) == target)
    held = next(contained, {})
    numbers = [_text(i.get("value")) for i in _rows(held.get("identifier"))]
    options = (
        _text(_table(device.get("identifier")).get("value")), _text(held.get("serialNumber")), *numbers,
        "" if target.startswith("#") else _last_steps(target), _text(device.get("display")),
    )  # fmt: skip
    return next((o for o in options if o), "")


def _performer(resource: Json) -> str:
    """The first performer who is a person on the staff; display names are not taken."""
    for performer in _rows(resource.get("performer")):
        name = _reference(performer, name=False)
        if name and not re.match(r"(Organization|Patient|RelatedPerson|CareTeam|Device)/", name):
            return name.removeprefix("Practitioner/").removeprefix("PractitionerRole/")
    return ""


def _reference(reference: Any, *, name: bool) -> str:
    table = _table(reference)
    number = _text(_table(table.get("identifier")).get("value"))
    return (
        _last_steps(_text(table.get("reference"))) or number or (_text(table.get("display")) if name else "")
    )


def _last_steps(reference: str) -> str:
    """A reference without server and version: "https://host/fhir/Patient/7/_history/2" is "Patient/7"."""
    return "/".join(reference.split("/_history")[0].split("/")[-2:]) if "/" in reference else reference


def _codings(concept: Any) -> list[tuple[str, str, str]]:
    """(system, code, display) of each coding of a CodeableConcept."""
    return [
        (_text(c.get("system")), _text(c.get("code")), _text(c.get("display")))
        for c in _rows(_table(concept).get("coding"))
    ]


def _table(thing: Any) -> Json:
    return thing if isinstance(thing, dict) else {}


def _rows(thing: Any) -> list[Json]:
    return [item for item in thing if isinstance(item, dict)] if isinstance(thing, list) else []


def _text(thing: Any) -> str:
    return thing.strip() if isinstance(thing, str) else ""


def _number(thing: Any) -> str:
    right = isinstance(thing, int | float | str) and not isinstance(thing, bool)
    return str(thing).strip() if right else ""
