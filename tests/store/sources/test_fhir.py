"""FHIR in each of its wrappings: the same Observation read from all; nonsense keeps its row and a reason.

The room that reads a resource has its own tests; here is only the way to it.
"""

import gzip
import json
from pathlib import Path

import pytest

from browline.store.sources import open_file
from browline.store.sources.fhir import HEADINGS

SAMPLES = Path(__file__).parents[4] / "shared/data/fhir"
if not SAMPLES.is_dir():
    SAMPLES = Path(__file__).parents[3] / "../shared/data/fhir"


def observation(value: float) -> dict:
    return {
        "resourceType": "Observation",
        "status": "final",
        "code": {"coding": [{"system": "http://loinc.org", "code": "8310-5"}]},
        "effectiveDateTime": "2026-03-07T10:00:00Z",
        "valueQuantity": {"value": value, "system": "http://unitsofmeasure.org", "code": "Cel"},
    }


BUNDLE = {
    "resourceType": "Bundle",
    "type": "collection",
    "entry": [{"resource": observation(36.6)}, {"resource": observation(37.1)}],
}
WRAPPED = {
    "bundle": json.dumps(BUNDLE, indent=1).encode(),
    "bundle on one line": json.dumps(BUNDLE).encode(),
    "list": json.dumps([observation(36.6), observation(37.1)]).encode(),
    "lines": "\n".join(json.dumps(observation(v)) for v in (36.6, 37.1)).encode(),
    "lines, packed": gzip.compress("\r\n".join(json.dumps(observation(v)) for v in (36.6, 37.1)).encode()),
    "with a mark": b"\xef\xbb\xbf" + json.dumps(BUNDLE).encode(),
}


def cells(row: tuple) -> dict:
    return {name: cell for name, cell in zip(HEADINGS, row[1:-1], strict=True) if cell}


@pytest.mark.parametrize("wrapping", WRAPPED)
def test_the_same_from_every_wrapping(wrapping, written, rows):
    source = written(WRAPPED[wrapping], "export.json")
    found = rows(source.tables[0])
    assert source.format == "fhir"
    assert [r[0] for r in found] == [1, 2]
    assert [cells(r)["value"] for r in found] == ["36.6", "37.1"]
    assert cells(found[0])["time"] == "2026-03-07T10:00:00Z"
    assert all("reason" not in cells(r) for r in found)


def test_nonsense_keeps_its_row_with_a_reason(written, rows):
    lines = [
        json.dumps(observation(36.6)),
        "",
        '{"resourceType": "Observ',
        "[1, 2]",
        json.dumps(observation(37.1)),
    ]
    found = rows(written("\n".join(lines).encode(), "export.ndjson").tables[0])
    assert [(r[0], cells(r).get("reason")) for r in found] == [
        (1, None),
        (3, "resource-unread"),
        (4, "resource-unread"),
        (5, None),
    ]


@pytest.mark.skipif(not SAMPLES.is_dir(), reason="the FHIR samples beside the project are not here")
def test_the_real_samples_are_read():
    import duckdb

    with duckdb.connect() as con:
        found = {}
        for path in sorted(SAMPLES.rglob("*.json")) + sorted(SAMPLES.rglob("*.gz")):
            (table,) = open_file(path).tables
            for _ in table.blocks(con):
                found[path.name] = con.execute("SELECT * FROM raw").fetchall()
    # 462 synthetic Observations, oral, and 36.5 in the specification's example: the folder's own README.
    assert len(found["synthetic-oral.ndjson.gz"]) == 462
    assert {cells(r)["site"] for r in found["synthetic-oral.ndjson.gz"]} == {"oral"}
    assert cells(found["Observation-body-temperature.json"][0])["value"] == "36.5"
    assert cells(found["Patient-example.json"][0]) == {"reason": "not-a-temperature"}
