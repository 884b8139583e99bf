"""Time, value, unit, site, instrument and people of a FHIR Observation, each as the text of a table's cell."""

import re
from typing import Any

from browline.intake.fhir_codes import ABSENT_REASONS, UCUM, UCUM_UNITS, place_site, temperature_site
from browline.intake.fhir_json import Json, codings, number_in, table_in, tables_in, text_in
from browline.intake.site_words import read_site
from browline.intake.units import is_unaccepted_unit, only_unit
from browline.quantities.sites import UNKNOWN


def extract_time(resource: Json) -> tuple[str, str | None, str | None]:
    """Time text, reason, repair: the moment of measurement, a period's start, or at the last the time of issue."""
    period = table_in(resource.get("effectivePeriod"))
    events = table_in(resource.get("effectiveTiming")).get("event")
    event = events[0] if isinstance(events, list) and events else None
    for text, repair in (
        (text_in(resource.get("effectiveDateTime")), None),
        (text_in(resource.get("effectiveInstant")), None),
        (text_in(period.get("start")), "period-start"),
        (text_in(event), None),
        (text_in(resource.get("issued")), "issued-as-time"),
    ):
        if text:
            day_only = re.fullmatch(r"\d{4}(-\d\d(-\d\d)?)?", text)
            return text, "time-of-day-missing" if day_only else None, repair
    return "", "no-time", None


def extract_value(part: Json) -> tuple[str, str, str | None, str | None]:
    """Value text, unit, reason, repair of an Observation or component."""
    quantity = table_in(part.get("valueQuantity"))
    text = (
        number_in(quantity.get("value"))
        or number_in(part.get("valueInteger"))
        or text_in(part.get("valueString"))
    )
    if not text:
        absent = {code for _, code, _ in codings(part.get("dataAbsentReason"))}
        return "", "", next((r for code, r in ABSENT_REASONS.items() if code in absent), "no-value"), None
    comparator = text_in(quantity.get("comparator"))
    if comparator:
        return comparator + text, "", "reads-lo" if "<" in comparator else "reads-hi", None
    unit, reason, repair = _unit(quantity)
    return text, unit, reason, repair


def _unit(quantity: Json) -> tuple[str, str | None, str | None]:
    """Unit, reason, repair of a quantity: the UCUM code, else its words; anything but °C and °F is refused."""
    code, words = text_in(quantity.get("code")), text_in(quantity.get("unit"))
    if code in UCUM_UNITS and text_in(quantity.get("system")) in (UCUM, ""):
        return UCUM_UNITS[code], None, None
    names = [w for w in (code, words) if w]
    for text in names:
        unit = only_unit(text)
        if unit:
            return unit, None, "unit-by-words"
    refused = any(is_unaccepted_unit(t) for t in names) or bool(names)
    return "", "unit-not-accepted" if refused else None, None


def extract_site(resource: Json, part: Json) -> tuple[str, str | None]:
    """The site by body structure, by code, by method and by thermometer type; two that disagree are unknown."""
    place = coded_site(part.get("bodySite")) or coded_site(resource.get("bodySite"))
    coded = [temperature_site(s, c) for holder in (part, resource) for s, c, _ in codings(holder.get("code"))]
    named = {s for s in (place, *coded) if s and s != UNKNOWN}
    if len(named) > 1:
        return UNKNOWN, "sites-disagree"
    by_tool = coded_site(resource.get("method")) or coded_site(_device_code(resource))
    return (named.pop() if named else by_tool or UNKNOWN), None


def coded_site(concept: Any) -> str | None:
    """The site a CodeableConcept names, by its codes, then by its words; None where it names none."""
    for system, code, _ in codings(concept):
        if place_site(system, code):
            return place_site(system, code)
    words = [text_in(table_in(concept).get("text")), *(display for _, _, display in codings(concept))]
    sites = [site for word in words if (site := read_site(word)[0]) != UNKNOWN]
    return sites[0] if sites else None


def extract_method(resource: Json) -> str:
    """The display of a coded method or thermometer type; free text is not taken."""
    for concept in (resource.get("method"), _device_code(resource)):
        for system, _, display in codings(concept):
            if system.startswith("http") and display and not re.search(r"\d", display):
                return display[:60]
    return ""


def _device_code(resource: Json) -> Any:
    for extension in tables_in(resource.get("extension")):
        if text_in(extension.get("url")).endswith("observation-deviceCode"):
            return extension.get("valueCodeableConcept")
    return None


def extract_instrument(resource: Json) -> str:
    """The thermometer's identifier: of the reference, of the contained Device, else the reference itself."""
    device = table_in(resource.get("device"))
    target = text_in(device.get("reference"))
    contained = (r for r in tables_in(resource.get("contained")) if "#" + text_in(r.get("id")) == target)
    included = next(contained, {})
    numbers = [text_in(i.get("value")) for i in tables_in(included.get("identifier"))]
    options = (
        text_in(table_in(device.get("identifier")).get("value")), text_in(included.get("serialNumber")), *numbers,
        "" if target.startswith("#") else _last_steps(target), text_in(device.get("display")),
    )  # fmt: skip
    return next((o for o in options if o), "")


def extract_performer(resource: Json) -> str:
    """The first performer who is a person on the staff; display names are not taken."""
    for performer in tables_in(resource.get("performer")):
        name = extract_reference(performer, name=False)
        if name and not re.match(r"(Organization|Patient|RelatedPerson|CareTeam|Device)/", name):
            return name.removeprefix("Practitioner/").removeprefix("PractitionerRole/")
    return ""


def extract_reference(reference: Any, *, name: bool) -> str:
    table = table_in(reference)
    number = text_in(table_in(table.get("identifier")).get("value"))
    return (
        _last_steps(text_in(table.get("reference")))
        or number
        or (text_in(table.get("display")) if name else "")
    )


def _last_steps(reference: str) -> str:
    """A reference without server and version: "https://host/fhir/Patient/7/_history/2" is "Patient/7"."""
    return "/".join(reference.split("/_history")[0].split("/")[-2:]) if "/" in reference else reference
