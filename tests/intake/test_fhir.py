"""FHIR R4 resources as rows. Rules: HL7 FHIR R4 Observation, profile bodytemp, UCUM value set ucum-bodytemp."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.intake import REASONS, REPAIRS, fhir_rows
from browline.quantities.sites import SITES

LOINC, SCT, UCUM = "http://loinc.org", "http://snomed.info/sct", "http://unitsofmeasure.org"


def concept(*codings: tuple[str, str]) -> dict:
    return {"coding": [{"system": system, "code": code} for system, code in codings]}


def observation(**changes) -> dict:
    """A sound temporal-artery Observation with the given elements changed (None: left out)."""
    sound = {
        "resourceType": "Observation",
        "status": "final",
        "code": concept((LOINC, "8310-5"), (LOINC, "75539-7")),
        "subject": {"reference": "Patient/7", "display": "Orla Finch"},
        "encounter": {"reference": "https://fhir.example.org/r4/Encounter/31/_history/2"},
        "performer": [
            {"reference": "Organization/1"},
            {"reference": "Practitioner/00417", "display": "Piers Lund"},
        ],
        "device": {"reference": "Device/9", "identifier": {"value": "FS-07"}},
        "effectiveDateTime": "2026-03-07T14:05:00+01:00",
        "valueQuantity": {"value": 37.4, "unit": "degrees C", "system": UCUM, "code": "Cel"},
    }
    return {k: v for k, v in (sound | changes).items() if v is not None}


def only(resource):
    rows = list(fhir_rows(resource))
    assert len(rows) == 1
    return rows[0]


def test_a_sound_observation() -> None:
    row = only(observation())
    assert (row.reason, row.repairs) == (None, ())
    assert row.cells == {
        "time": "2026-03-07T14:05:00+01:00",
        "value": "37.4",
        "unit": "C",
        "site": "temporal",
        "patient": "Patient/7",
        "stay": "Encounter/31",
        "person": "00417",
        "instrument": "FS-07",
    }


def test_trap_10_no_display_name_of_a_person_comes_through() -> None:
    row = only(observation(performer=[{"display": "Piers Lund"}]))
    assert "person" not in row.cells and "Finch" not in str(row.cells)


@pytest.mark.parametrize(
    ("quantity", "unit", "reason", "repairs"),
    [
        ({"value": 98.6, "system": UCUM, "code": "[degF]"}, "F", None, ()),
        ({"value": 37, "code": "Cel"}, "C", None, ()),
        ({"value": 37, "unit": "°C"}, "C", None, ("unit-by-words",)),
        (
            {"value": 37, "system": UCUM, "code": "C"},
            "C",
            None,
            ("unit-by-words",),
        ),  # coulomb, meant as degrees
        ({"value": 98.6, "unit": "degF"}, "F", None, ("unit-by-words",)),
        ({"value": 310, "system": UCUM, "code": "K"}, "", "unit-not-accepted", ()),
        ({"value": 37, "unit": "mmHg"}, "", "unit-not-accepted", ()),
        ({"value": 37}, "", None, ()),
        ({"value": 42, "comparator": ">", "code": "Cel"}, "", "reads-hi", ()),
        ({"value": 34, "comparator": "<=", "code": "Cel"}, "", "reads-lo", ()),
        ({"value": None, "code": "Cel"}, "", "no-value", ()),
        ({"value": True, "code": "Cel"}, "", "no-value", ()),
    ],
)
def test_units_are_ucum_codes_and_words_only_as_counted_repairs(quantity, unit, reason, repairs) -> None:
    row = only(observation(valueQuantity=quantity))
    assert (row.cells.get("unit", ""), row.reason, row.repairs) == (unit, reason, repairs)


@pytest.mark.parametrize(
    ("changes", "time", "reason", "repairs"),
    [
        ({"effectiveDateTime": "2026-03-07"}, "2026-03-07", "time-of-day-missing", ()),
        (
            {
                "effectiveDateTime": None,
                "effectivePeriod": {"start": "2026-03-07T14:00:00Z", "end": "2026-03-07T15:00:00Z"},
            },
            "2026-03-07T14:00:00Z",
            None,
            ("period-start",),
        ),
        (
            {"effectiveDateTime": None, "effectiveInstant": "2026-03-07T14:00:00Z"},
            "2026-03-07T14:00:00Z",
            None,
            (),
        ),
        (
            {"effectiveDateTime": None, "issued": "2026-03-07T14:00:00Z"},
            "2026-03-07T14:00:00Z",
            None,
            ("issued-as-time",),
        ),
        ({"effectiveDateTime": None}, "", "no-time", ()),
        ({"issued": "2026-03-09T00:00:00Z"}, "2026-03-07T14:05:00+01:00", None, ()),
    ],
)
def test_the_time_is_that_of_measurement_if_there_is_one(changes, time, reason, repairs) -> None:
    row = only(observation(**changes))
    assert (row.cells.get("time", ""), row.reason, row.repairs) == (time, reason, repairs)


@pytest.mark.parametrize("status", ["entered-in-error", "cancelled"])
def test_trap_8_a_struck_out_observation_is_set_aside(status) -> None:
    assert only(observation(status=status)).reason == "struck-out"


def test_trap_8_a_corrected_observation_is_taken_and_flagged() -> None:
    row = only(observation(status="corrected"))
    assert (row.reason, row.cells["note"]) == (None, "corrected")


@pytest.mark.parametrize(
    ("changes", "site", "repairs"),
    [
        ({"code": concept((LOINC, "8310-5")), "bodySite": concept((SCT, "74262004"))}, "oral", ()),
        ({"code": concept((LOINC, "8310-5")), "bodySite": {"text": "left ear"}}, "tympanic", ()),
        ({"code": concept((SCT, "307047009"))}, "rectal", ()),
        ({"code": concept((LOINC, "8329-5"))}, "unknown", ()),
        ({"code": concept((LOINC, "8310-5")), "method": concept((SCT, "448735006"))}, "temporal", ()),
        ({"bodySite": concept((SCT, "34402009"))}, "unknown", ("sites-disagree",)),
        ({"code": concept((LOINC, "61008-9")), "bodySite": concept((SCT, "52795006"))}, "temporal", ()),
    ],
)
def test_the_site_by_structure_code_and_method(changes, site, repairs) -> None:
    row = only(observation(**changes))
    assert (row.cells["site"], row.repairs, row.reason) == (site, repairs, None)


@pytest.mark.parametrize(
    ("code", "reason"),
    [
        ("asked-declined", "refused"),
        ("not-performed", "not-done"),
        ("error", "reads-err"),
        ("unknown", "no-value"),
    ],
)
def test_trap_4_a_missing_value_says_why(code, reason) -> None:
    absent = concept(("http://terminology.hl7.org/CodeSystem/data-absent-reason", code))
    assert only(observation(valueQuantity=None, dataAbsentReason=absent)).reason == reason


@pytest.mark.parametrize(
    ("resource", "reason"),
    [
        (observation(code=concept((LOINC, "8867-4"))), "not-a-temperature"),
        (observation(code=concept((LOINC, "60830-7"))), "not-a-temperature"),  # finger
        (observation(code=None), "resource-unread"),
        ({"resourceType": "Patient", "name": [{"family": "Finch"}]}, "not-a-temperature"),
        ({}, "resource-unread"),
        ([], "resource-unread"),
        (None, "resource-unread"),
        ("Observation", "resource-unread"),
        ({"resourceType": 3}, "resource-unread"),
    ],
)
def test_everything_else_is_set_aside_with_a_reason_and_without_cells(resource, reason) -> None:
    row = only(resource)
    assert (row.reason, row.cells) == (reason, {})


def test_a_panel_gives_its_component_temperatures_and_its_members_give_none() -> None:
    pulse = {"code": concept((LOINC, "8867-4")), "valueQuantity": {"value": 80}}
    temperature = {"code": concept((LOINC, "8331-1")), "valueQuantity": {"value": 98.6, "code": "[degF]"}}
    panel = observation(code=concept((LOINC, "85353-1")), valueQuantity=None, component=[pulse, temperature])
    row = only(panel)
    assert (row.cells["value"], row.cells["unit"], row.cells["site"]) == ("98.6", "F", "oral")
    members = observation(
        code=concept((LOINC, "85353-1")), valueQuantity=None, hasMember=[{"reference": "Observation/1"}]
    )
    assert only(members).reason == "panel-without-values"


def test_a_bundle_is_opened_entry_by_entry() -> None:
    bundle = {
        "resourceType": "Bundle",
        "entry": [
            {"resource": observation()},
            {"resource": {"resourceType": "Patient"}},
            {"fullUrl": "urn:uuid:1"},
            {"resource": {"resourceType": "Bundle", "entry": [{"resource": observation()}]}},
        ],
    }
    assert [r.reason for r in fhir_rows(bundle)] == [None, "not-a-temperature", "resource-unread", None]


def test_a_contained_device_is_followed() -> None:
    row = only(
        observation(
            device={"reference": "#d"},
            contained=[{"resourceType": "Device", "id": "d", "serialNumber": "S-41"}],
        )
    )
    assert row.cells["instrument"] == "S-41"


_JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.floats()
    | st.integers()
    | st.text(max_size=8)
    | st.just("Observation")
    | st.just("Bundle"),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    *observation(),
                    "entry",
                    "resource",
                    "coding",
                    "code",
                    "system",
                    "value",
                    "component",
                    "extension",
                    "url",
                    "bodySite",
                    "hasMember",
                    "identifier",
                    "contained",
                    "effectivePeriod",
                    "start",
                ]
            ),
            inner,
            max_size=5,
        )
    ),
    max_leaves=25,
)


@given(_JSON, st.sampled_from(sorted(observation())))
def test_no_json_ever_breaks_the_reader(thing, element) -> None:
    for resource in (thing, observation(**{element: thing})):
        for row in fhir_rows(resource):
            assert row.reason is None or row.reason in REASONS
            assert set(row.repairs) <= set(REPAIRS)
            assert all(isinstance(v, str) for v in row.cells.values())
            assert row.cells.get("site", "oral") in SITES
