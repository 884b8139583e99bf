"""Real files: charted temperatures of an open intensive-care demo set (ODbL, beside the data), FHIR samples."""

from pathlib import Path

import pytest
from charts import adds_up, entry, kept

from browline.services.imports.run import import_file

CHARTED = Path(__file__).parents[2] / "data" / "charted-icu" / "clif_vitals_temperature.csv"
FHIR = Path(__file__).parents[4] / "shared" / "data" / "fhir"


def test_the_charted_temperatures_come_in_whole(book):
    receipt = import_file(book, CHARTED)
    made = entry(receipt)
    assert adds_up(receipt)
    assert (made["rows"], made["taken"]) == (3767, 3767)
    # Counts by site as stated by whoever prepared the set.
    sites = [s for (s,) in kept(book, "site")]
    counts = {s: sites.count(s) for s in set(sites)}
    assert counts == {
        "oral": 2749, "axillary": 288, "temporal": 214, "intravascular": 208, "rectal": 121,
        "oesophageal": 85, "tympanic": 11, "unknown": 91,
    }  # fmt: skip


def test_the_three_fahrenheit_values_are_put_right_and_the_clock_is_doubted(book):
    receipt = import_file(book, CHARTED)
    assert entry(receipt)["codes"]["unit-put-right"]["count"] == 3
    slips = kept(book, "charted, round(value, 2), repairs")
    assert sorted(s[:2] for s in slips if s[2]) == [(97.2, 36.22), (98.9, 37.17), (99.0, 37.22)]
    assert any("time zone" in note for note in receipt.notes)
    assert "instrument" in {r["column"] for r in receipt.requests}


@pytest.mark.skipif(not FHIR.exists(), reason="the shared FHIR samples are not on this machine")
def test_bulk_fhir_is_read_with_every_value_and_site(book):
    import gzip
    import json

    path = FHIR / "synthetic-oral.ndjson.gz"
    receipt = import_file(book, path)
    with gzip.open(path, "rt") as lines:
        values = sorted(json.loads(line)["valueQuantity"]["value"] for line in lines)
    assert adds_up(receipt)
    assert sorted(v for _, _, v, _ in kept(book)) == pytest.approx(values)
    assert {s for *_, s in kept(book)} == {"oral"}


@pytest.mark.skipif(not FHIR.exists(), reason="the shared FHIR samples are not on this machine")
@pytest.mark.parametrize(
    ("name", "taken", "code"),
    [
        ("hl7-r4-examples/Observation-body-temperature.json", 0, "time-of-day-missing"),
        ("hl7-r4-examples/Observation-f202.json", 0, "struck-out"),
        ("hl7-r4-examples/Patient-example.json", 0, "not-a-temperature"),
        ("us-vitals-ig/Observation-bodyTemperature-example.json", 1, None),
    ],
)
def test_a_single_fhir_resource_is_read_or_set_aside_with_its_reason(book, name, taken, code):
    made = entry(import_file(book, FHIR / name))
    assert made["taken"] == taken
    assert code is None or code in made["codes"]


def test_a_panel_gives_several_readings_under_one_row_number(book, export):
    import json

    def part(loinc, value):
        coding = [{"system": "http://loinc.org", "code": loinc}]
        return {"code": {"coding": coding}, "valueQuantity": {"value": value, "code": "Cel"}}

    panel = {
        "resourceType": "Observation",
        "status": "final",
        "code": {"coding": [{"system": "http://loinc.org", "code": "85353-1"}]},
        "subject": {"reference": "Patient/1"},
        "effectiveDateTime": "2026-03-07T10:00:00Z",
        "component": [part("8331-1", 37.2), part("75539-7", 37.0)],
    }
    receipt = import_file(book, export(json.dumps(panel), "panel.json"))
    assert [(r, v, s) for r, _, v, s in kept(book)] == [(1, 37.2, "oral"), (1, 37.0, "temporal")]
    assert adds_up(receipt)
