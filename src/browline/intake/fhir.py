"""FHIR R4 resources as the same cells a table would hold, so that one import reads both.

Observations of body temperature give rows; Bundles and components are opened; everything else gives a reason.
Nothing here raises on a malformed resource: nonsense is a row with a reason. Display names of people are not
taken, except a patient's where there is nothing else (it becomes a keyed pseudonym before it is stored).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from browline.intake.fhir_codes import BODY_SURFACE_LOINC, LOINC, temperature_site
from browline.intake.fhir_elements import (
    coded_site,
    extract_instrument,
    extract_method,
    extract_performer,
    extract_reference,
    extract_site,
    extract_time,
    extract_value,
)
from browline.intake.fhir_json import Json, codings, table_in, tables_in, text_in
from browline.quantities.sites import TEMPORAL

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
    kind = text_in(table_in(resource).get("resourceType"))
    if kind == "Bundle" and _depth < _DEEPEST:
        for entry in tables_in(resource.get("entry")):
            yield from fhir_rows(entry.get("resource"), _depth + 1)
    elif kind == "Observation":
        yield from _observation(resource)
    else:
        yield FhirRow(
            {}, "not-a-temperature" if re.fullmatch("[A-Z][A-Za-z]{2,60}", kind) else "resource-unread"
        )


def _observation(resource: Json) -> Iterator[FhirRow]:
    if not tables_in(table_in(resource.get("code")).get("coding")) and not tables_in(
        resource.get("component")
    ):
        yield FhirRow({}, "resource-unread")
        return
    parts = [part for part in tables_in(resource.get("component")) if _is_temperature(part)]
    if _is_temperature(resource) and (_has_value(resource) or not parts):
        yield _row(resource, resource)
    for part in parts:
        yield _row(resource, part)
    if not _is_temperature(resource) and not parts:
        panel = bool(tables_in(resource.get("hasMember"))) and not _has_value(resource)
        yield FhirRow({}, "panel-without-values" if panel else "not-a-temperature")


def _is_temperature(part: Json) -> bool:
    codes = codings(part.get("code"))
    if any(temperature_site(system, code) is not None for system, code, _ in codes):
        return True
    surface = any(code == BODY_SURFACE_LOINC and system == LOINC for system, code, _ in codes)
    return surface and coded_site(part.get("bodySite")) == TEMPORAL


def _has_value(part: Json) -> bool:
    return any(key.startswith("value") for key in part)


def _row(resource: Json, part: Json) -> FhirRow:
    """The row of an Observation, `part` being itself or the component that holds the temperature."""
    time, time_reason, time_repair = extract_time(resource)
    value, unit, value_reason, value_repair = extract_value(part)
    site, site_repair = extract_site(resource, part)
    cells = {
        "time": time,
        "value": value,
        "unit": unit,
        "site": site,
        "method": extract_method(resource),
        "instrument": extract_instrument(resource),
        "person": extract_performer(resource),
        "patient": extract_reference(resource.get("subject"), name=True),
        "stay": extract_reference(resource.get("encounter"), name=False),
        "note": "corrected" if resource.get("status") in ("corrected", "amended") else "",
    }
    voided = "struck-out" if resource.get("status") in ("entered-in-error", "cancelled") else None
    repairs = tuple(r for r in (time_repair, value_repair, site_repair) if r)
    return FhirRow({k: v for k, v in cells.items() if v}, voided or value_reason or time_reason, repairs)
