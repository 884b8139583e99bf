"""Codes by which a FHIR Observation says that it is a body temperature, and where it was taken.

Sources: LOINC codes of the eCQM body-temperature value set and the HL7 validator; SNOMED CT observables and
thermometer types of the HL7 vital-signs guides; UCUM units of the value set `ucum-bodytemp`.
"""

from browline.quantities.sites import ROWS, UNKNOWN, site_from_loinc, site_from_snomed

LOINC, SNOMED, UCUM = "http://loinc.org", "http://snomed.info/sct", "http://unitsofmeasure.org"

# Deep body temperatures without a site of ours; surface temperatures of limbs are not body temperatures, and
# that of the airway (60955-2) is breathing gas.
_OTHER_LOINC = frozenset({"76010-8", "61009-7", "91371-5", "11289-6"})
BODY_SURFACE_LOINC = "61008-9"

_SNOMED_OBSERVABLES = {"386725007": UNKNOWN, "276885007": UNKNOWN, "300076005": UNKNOWN} | {
    code: row.code for row in ROWS for code in row.snomed_observables
}

# Thermometer types and the procedure of the specification's own example.
_SNOMED_METHODS = {code: row.code for row in ROWS for code in row.snomed_methods}

UCUM_UNITS = {"Cel": "C", "[degF]": "F"}

ABSENT_REASONS = {
    "asked-declined": "refused",
    "not-performed": "not-done",
    "error": "reads-err",
    "negative-infinity": "reads-lo",
    "positive-infinity": "reads-hi",
}


def temperature_site(system: str, code: str) -> str | None:
    """The site of a code that means body temperature (perhaps `unknown`); None for any other code.

    >>> temperature_site(LOINC, "8331-1"), temperature_site(LOINC, "8867-4")
    ('oral', None)
    """
    if system == LOINC:
        return UNKNOWN if code in _OTHER_LOINC else site_from_loinc(code)
    return _SNOMED_OBSERVABLES.get(code) if system == SNOMED else None


def place_site(system: str, code: str) -> str | None:
    """The site of a SNOMED CT body structure, thermometer type or procedure; None where not known."""
    if system != SNOMED:
        return None
    return site_from_snomed(code) or _SNOMED_METHODS.get(code)
