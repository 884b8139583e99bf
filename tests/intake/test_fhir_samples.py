"""Real FHIR resources: the specification's own examples, the vitals guide's, and 462 synthetic Observations."""

import gzip
import json

from browline.intake import FhirRow, fhir_rows, read_time, read_value

from .real_data import sample


def only(resource) -> FhirRow:
    rows = list(fhir_rows(resource))
    assert len(rows) == 1
    return rows[0]


def read(name: str):
    return only(json.loads(sample(f"fhir/{name}").read_text("utf-8")))


def test_body_temperature_of_the_specification_has_a_day_only() -> None:
    row = read("hl7-r4-examples/Observation-body-temperature.json")
    assert (row.cells["value"], row.cells["unit"], row.reason) == ("36.5", "C", "time-of-day-missing")


def test_f202_is_entered_in_error_oral_and_by_issue_time() -> None:
    row = read("hl7-r4-examples/Observation-f202.json")
    assert (row.cells["value"], row.cells["unit"], row.cells["site"]) == ("39", "C", "oral")
    assert (row.reason, row.repairs) == ("struck-out", ("issued-as-time",))
    assert row.cells["patient"] == "Patient/f201" and row.cells["person"] == "f201"


def test_the_panels_hold_no_reading() -> None:
    assert read("hl7-r4-examples/Observation-vitals-panel.json").reason == "panel-without-values"
    assert read("us-vitals-ig/Observation-VitalSignsPanel-example.json").reason == "panel-without-values"
    assert read("hl7-r4-examples/Patient-example.json").reason == "not-a-temperature"


def test_the_vitals_guide_example_is_tympanic() -> None:
    row = read("us-vitals-ig/Observation-bodyTemperature-example.json")
    assert (row.cells["value"], row.cells["unit"], row.cells["site"]) == ("37", "C", "tympanic")
    assert row.cells["method"].startswith("Tympanic thermometer") and row.reason is None
    assert read_time(row.cells["time"], "ymd").offset == -540


def test_all_462_synthetic_observations() -> None:
    with gzip.open(sample("fhir/synthetic-oral.ndjson.gz"), "rt", encoding="utf-8") as lines:
        rows = [only(json.loads(line)) for line in lines]
    assert len(rows) == 462
    assert all(r.reason is None and not r.repairs and r.cells["site"] == "oral" for r in rows)
    for row in rows:
        assert read_value(row.cells["value"], row.cells["unit"]).celsius == float(row.cells["value"])
        assert read_time(row.cells["time"], "ymd").when is not None
