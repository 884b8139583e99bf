"""Files with temperatures of gas, rooms and machines beside the patients', or with nothing else."""

import json
from pathlib import Path

import pytest
from charts import adds_up, chart, entry, kept

from browline.errors import InputRefused
from browline.intake import Keep, Mapping
from browline.services.imports.run import import_file

UGLY = Path(__file__).parents[2] / "data" / "ugly"


@pytest.mark.parametrize("name", ["n_gas", "n_bga"])
def test_only_the_rows_of_the_body_are_taken(book, name):
    receipt = import_file(book, UGLY / name / "obs.csv", zone="Europe/London")
    truth = json.loads((UGLY / name / "truth.json").read_text())["readings"]
    assert [r for r, *_ in kept(book)] == sorted(t["row"] for t in truth)
    assert adds_up(receipt) and set(entry(receipt)["codes"]) == {"not-a-temperature"}


@pytest.mark.parametrize("item", ["Inspired gas temperature", "Humidifier Temp", "Room temperature"])
def test_a_table_of_nothing_else_is_refused_in_words(book, export, item):
    rows = [f"V1,2026-03-07 06:{m:02d},{i},37.{m % 3}" for m in range(20) for i in (item, "Heart rate")]
    with pytest.raises(InputRefused, match=r"only things, rooms or breathing gas.*people.*Ask"):
        import_file(book, export(chart(*rows, heading="stay,time,Parameter,Value")))
    assert kept(book) == []


def test_a_log_of_a_fridge_is_refused_in_words(book):
    with pytest.raises(InputRefused, match=r"Fridge.*only things"):
        import_file(book, UGLY / "n_fridge" / "log.csv")


def test_a_column_headed_so_is_refused_even_when_mapped_by_hand(book, export):
    path = export(chart("V1,2026-03-07 06:00,36.6", heading="stay,time,Room temp"))
    given = Mapping("readings", {"stay": "stay", "time": "time", "value": "Room temp"})
    with pytest.raises(InputRefused, match="Room temp"):
        import_file(book, path, mapping=given)


def test_a_patients_bed_in_a_room_cot_or_incubator_loses_no_reading(book, export):
    places = ("Room 4", "Cot 12", "Incubator 3")
    rows = [f"V{i},2026-03-07 06:{i:02d},36.{i % 9},{places[i % 3]},Oral" for i in range(30)]
    made = import_file(book, export(chart(*rows, heading="stay,time,Temp,Bed,Site")))
    assert entry(made)["taken"] == 30


def test_a_site_that_is_no_place_on_the_body_is_set_aside(book, export):
    sites = ("Oral", "Ventilator gas", "Foot", "Room air", "Room 4", "")
    rows = [f"V{i},2026-03-07 06:{i:02d},36.{i},{site}" for i, site in enumerate(sites)]
    made = import_file(book, export(chart(*rows, heading="stay,time,Temp,Site")))
    assert entry(made)["codes"]["not-a-temperature"]["example_rows"] == [3, 4, 5]
    assert entry(made)["taken"] == 3


def test_no_row_is_dropped_for_its_site_when_the_filters_column_is_mapped_as_site(book, export):
    sites = ("Temporal", "Oral", "Axilla")
    rows = [f"V{i},2026-03-07 06:{i:02d},36.{i},{site}" for i, site in enumerate(sites)]
    columns = {"stay": "stay", "time": "time", "value": "Temp", "site": "Vital name"}
    given = Mapping("readings", columns, keep=Keep("Vital name", ("Temporal",)))
    made = import_file(book, export(chart(*rows, heading="stay,time,Temp,Vital name")), mapping=given)
    assert entry(made)["taken"] == 3


def test_an_export_without_a_known_time_makes_no_register(book):
    from browline.store.models import Instrument

    with pytest.raises(InputRefused, match="at what time"):
        import_file(book, UGLY / "elapsed_minutes" / "obs.csv")
    assert not Instrument.objects.exists() and kept(book) == []
