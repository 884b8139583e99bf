"""What a file becomes in the book: units, times, sites, names; nothing lost, everything counted."""

from datetime import datetime

import pytest
from charts import SOUND, adds_up, chart, entry, kept

from browline.errors import InputRefused, Undecided
from browline.services.imports.run import import_file
from browline.services.imports.undo import undo_import, undo_repair


def test_a_sound_export_is_taken_whole(book, export):
    receipt = import_file(book, export(chart()), zone="Europe/London")
    assert adds_up(receipt)
    assert entry(receipt)["taken"] == 4
    assert [round(v, 2) for _, _, v, _ in kept(book)] == [36.6, 37.1, 38.2, 37.0]
    assert [s for *_, s in kept(book)] == ["temporal", "temporal", "oral", "axillary"]
    assert [r for r, *_ in kept(book)] == [2, 3, 4, 5]


def test_the_same_file_twice_changes_nothing(book, export):
    path = export(chart())
    import_file(book, path)
    before = {p.name: p.read_bytes() for p in book.readings.iterdir()}
    again = entry(import_file(book, path))
    assert (again["taken"], again["already_here"]) == (0, 4)
    assert {p.name: p.read_bytes() for p in book.readings.iterdir()} == before


def test_overlapping_exports_add_only_what_is_new_and_real_repeats_survive(book, export):
    repeat = "P00441,V1,2026-03-07 10:12,37.1,C,Temporal,FS-02,00938,5 West"
    import_file(book, export(chart(*SOUND[:3])))
    second = entry(import_file(book, export(chart(*SOUND[1:], repeat), "later.csv")))
    assert (second["taken"], second["already_here"]) == (2, 2)
    assert len(kept(book)) == 5


def test_a_row_sent_again_in_one_file_is_recognised(book, export):
    made = entry(import_file(book, export(chart(*SOUND, SOUND[0]))))
    assert (made["taken"], made["already_here"]) == (4, 1)


def test_without_patients_equal_rows_are_different_patients_but_a_second_export_adds_none(book, export):
    rows = ["2026-03-07 06:00,36.6,5 West", "2026-03-07 06:00,36.6,5 West", "2026-03-07 06:10,36.7,5 West"]
    text = chart(*rows, heading="time,value,ward")
    assert entry(import_file(book, export(text)))["taken"] == 3
    third = chart(*rows, rows[0], heading="time,value,ward")
    made = entry(import_file(book, export(third, "later.csv")))
    assert (made["taken"], made["already_here"]) == (1, 3)


def test_units_are_put_right_row_by_row_and_the_gap_is_never_guessed(book, export):
    values = ["97.2", "366", "36,6", "60", "T 37.1 C", "LO", "refused", "0", "120.5"]
    rows = [f"V{i};2026-03-07 06:{i:02d};{v}" for i, v in enumerate(values)]
    made = import_file(book, export(chart(*rows, heading="stay;time;Temp (C)")))
    assert adds_up(made)
    assert [round(v, 1) for _, _, v, _ in kept(book)] == [36.2, 36.6, 36.6, 37.1]
    codes = entry(made)["codes"]
    assert codes["unit-put-right"]["example_rows"] == [2]
    assert {"lost-point", "decimal-comma", "reads-lo", "refused", "zero", "implausible"} <= set(codes)


def test_celsius_and_fahrenheit_side_by_side_are_one_reading(book, export):
    rows = ["V1,2026-03-07 06:00,37.0,98.6", "V2,2026-03-07 06:01,37.0,99.9", "V3,2026-03-07 06:02,,98.6"]
    made = import_file(book, export(chart(*rows, heading="stay,time,Temp C,Temp F")))
    assert entry(made)["taken"] == 2
    assert entry(made)["codes"]["units-disagree"]["example_rows"] == [3]


def test_date_and_clock_in_two_columns_are_joined_and_counted(book, export):
    rows = ["V1,07/03/2026,14:05,36.6", "V2,13/03/2026,09:30,36.7"]
    made = import_file(book, export(chart(*rows, heading="stay,Date,Time,Temp")))
    assert [t for _, t, *_ in kept(book)] == [datetime(2026, 3, 7, 14, 5), datetime(2026, 3, 13, 9, 30)]
    assert entry(made)["codes"]["time-joined"]["count"] == 2


def test_a_date_order_that_cannot_be_settled_is_asked_for(book, export):
    rows = ["V1,03/04/2026 06:00,36.6", "V2,05/06/2026 06:00,36.7"]
    path = export(chart(*rows, heading="stay,time,value"))
    with pytest.raises(Undecided) as asked:
        import_file(book, path)
    assert set(asked.value.choices) == {"dmy", "mdy"}
    assert kept(book) == []


def test_the_repeated_hour_is_counted_and_the_skipped_hour_set_aside(book, export):
    # Europe/London 2026: forward on 29 March at 01:00, back on 25 October at 02:00 (IANA time zone database).
    rows = ["V1,2026-03-29 01:30,36.6", "V2,2026-10-25 01:30,36.7", "V3,2026-07-01 12:00,36.8"]
    made = import_file(book, export(chart(*rows, heading="stay,time,value")), zone="Europe/London")
    assert entry(made)["codes"]["time-skipped"]["example_rows"] == [2]
    assert entry(made)["codes"]["hour-repeated"]["example_rows"] == [3]
    assert [t for _, t, *_ in kept(book)] == [datetime(2026, 7, 1, 11, 0), datetime(2026, 10, 25, 0, 30)]


def test_a_time_with_its_own_offset_is_that_instant(book, export):
    rows = ["V1,2026-03-07T14:05:00-09:00,36.6", "V2,2026-07-07T14:05:00Z,36.7"]
    import_file(book, export(chart(*rows, heading="stay,time,value")), zone="Europe/London")
    assert kept(book, "time, shift") == [(datetime(2026, 3, 7, 23, 5), 0), (datetime(2026, 7, 7, 14, 5), 60)]


def test_struck_out_rows_and_other_vital_signs_are_set_aside(book, export):
    rows = [
        "V1,2026-03-07 06:00,Temperature,36.6,",
        "V1,2026-03-07 06:00,Pulse,72,",
        "V1,2026-03-07 06:01,Temperature,36.9,entered in error",
    ]
    made = import_file(book, export(chart(*rows, heading="stay,time,vital_name,value,comments")))
    assert entry(made)["taken"] == 1
    assert {"not-a-temperature", "struck-out"} <= set(entry(made)["codes"])


def test_an_instrument_is_matched_to_the_register_only_where_one_fits(book, export):
    import_file(book, export("instrument,unit,model\nFS-01,C,Model F-1\nFS-02,F,Model F-1\n", "register.csv"))
    rows = ["V1,2026-03-07 06:00,36.6,FS-O1", "V2,2026-03-07 06:05,36.7,FS-99"]
    made = import_file(book, export(chart(*rows, heading="stay,time,value,instrument")))
    assert [i for (i,) in kept(book, "instrument")] == ["FS-01", "FS-99"]
    assert entry(made)["codes"]["instrument-letter"]["count"] == 1


def test_staff_numbers_keep_their_leading_zeros_in_the_register_only(book, export):
    from browline.store.models import Person

    import_file(book, export(chart()))
    assert set(Person.objects.values_list("identifier", flat=True)) == {"00417", "00938"}
    for path in book.readings.iterdir():
        assert b"00417" not in path.read_bytes()


def test_a_repair_is_reversible_and_an_import_can_be_taken_back(book, export):
    rows = ["V1,2026-03-07 06:00,97.2", "V2,2026-03-07 06:05,36.7"]
    made = import_file(book, export(chart(*rows, heading="stay,time,Temp (C)")))
    assert kept(book, "original, charted") == [("97.2", 97.2), (None, 36.7)]
    undo_repair(made.imports[0], "unit-put-right", "Ines")
    assert [r for r, *_ in kept(book)] == [3]
    undo_import(made.imports[0], "Ines")
    assert kept(book) == []


def test_an_import_taken_back_can_be_taken_again(book, export):
    path = export(chart())
    undo_import(import_file(book, path).imports[0], "Ines")
    assert entry(import_file(book, path))["taken"] == 4


def test_a_refused_file_leaves_no_trace(book, export):
    with pytest.raises(InputRefused):
        import_file(book, export("name,colour\nrose,red\n"))
    assert list(book.readings.iterdir()) == []


def test_a_mapping_once_confirmed_is_used_for_the_next_export(book, export):
    from browline.intake import from_toml

    heading, rows = "when,what,moment of day", ["2026-03-07 06:00,36.6,x", "2026-03-07 06:05,36.7,x"]
    mapping = from_toml('kind = "readings"\ndate_order = "ymd"\n[columns]\ntime = "when"\nvalue = "what"\n')
    import_file(book, export(chart(*rows, heading=heading)), mapping=mapping)
    later = export(chart("2026-03-08 06:00,36.9,x", heading=heading), "later.csv")
    assert entry(import_file(book, later))["mapping"] == {"time": "when", "value": "what"}


def test_a_corrected_version_replaces_the_one_before(book, export):
    rows = [
        "V1,2026-03-07 06:00,36.6,Oral,",
        "V1,2026-03-07 06:00,37.6,Oral,corrected",
        "V2,2026-03-07 06:00,36.9,Oral,",
    ]
    made = import_file(book, export(chart(*rows, heading="stay,time,value,site,comments")))
    assert [v for _, _, v, _ in kept(book)] == [37.6, 36.9]
    assert entry(made)["codes"]["replaced"]["example_rows"] == [2]
    assert adds_up(made)


def test_repeated_headings_and_totals_are_told_as_such(book, export):
    rows = ["V1,2026-03-07 06:00,36.6", "stay,time,value", "V2,2026-03-07 06:05,36.7", "Total,,2"]
    made = import_file(book, export(chart(*rows, heading="stay,time,value")))
    codes = entry(made)["codes"]
    assert codes["heading-row"]["example_rows"] == [3]
    assert codes["totals-row"]["example_rows"] == [5]


def test_a_two_digit_year_is_read_and_counted(book, export):
    rows = ["V1,13/03/26 06:00,36.6", "V2,14/03/2026 06:05,36.7"]
    made = import_file(book, export(chart(*rows, heading="stay,time,value")))
    assert [t for _, t, *_ in kept(book)] == [datetime(2026, 3, 13, 6, 0), datetime(2026, 3, 14, 6, 5)]
    assert entry(made)["codes"]["two-digit-year"]["example_rows"] == [2]


def test_a_workbook_with_a_cover_sheet_is_taken_and_the_cover_told(book, tmp_path):
    from openpyxl import Workbook

    work = Workbook()
    work.active.append(["Temperatures of March, please see the second sheet"])
    sheet = work.create_sheet("data")
    for row in chart().splitlines():
        sheet.append(row.split(","))
    path = tmp_path / "export.xlsx"
    work.save(path)
    receipt = import_file(book, path)
    assert entry(receipt)["taken"] == 4
    assert any("left out" in note for note in receipt.notes)


def test_the_same_file_under_another_clock_is_refused(book, export):
    path = export(chart(SOUND[0].replace("-03-", "-07-")))
    import_file(book, path)
    with pytest.raises(InputRefused, match="already in the book"):
        import_file(book, path, zone="Europe/London")
    assert len(kept(book)) == 1


def test_a_file_of_headings_only_is_refused_in_words(book, export):
    with pytest.raises(InputRefused, match="headings and no rows"):
        import_file(book, export("stay,time,value\n"))


def test_a_bundle_with_other_resources_keeps_its_temperatures(book, export):
    import json

    def observation(i):
        coding = [{"system": "http://loinc.org", "code": "8310-5"}]
        return {
            "resourceType": "Observation",
            "status": "final",
            "code": {"coding": coding},
            "subject": {"reference": f"Patient/{i}"},
            "effectiveDateTime": f"2026-03-07T{i % 24:02d}:00:00Z",
            "valueQuantity": {"value": 36.5, "code": "Cel", "system": "http://unitsofmeasure.org"},
        }

    resources = [{"resourceType": "Patient", "id": "1"}, *(observation(i) for i in range(30))]
    bundle = {"resourceType": "Bundle", "entry": [{"resource": r} for r in resources]}
    made = import_file(book, export(json.dumps(bundle), "bundle.json"))
    assert (entry(made)["taken"], entry(made)["set_aside"]) == (30, 1)


def test_a_file_of_which_nothing_is_taken_answers_nothing(book, export):
    from browline.intake import Mapping

    mapping = Mapping("readings", {"stay": "stay", "time": "time", "value": "temp"}, date_order="ymd")
    receipt = import_file(
        book, export(chart("V1,2026-03-07 06:00,LO", heading="stay,time,temp")), mapping=mapping
    )
    assert entry(receipt)["taken"] == 0
    assert receipt.can_answer == ()


def test_what_should_be_doubted_is_told_and_kept_with_the_import(book, export):
    from browline.store.models import Import

    rows = [f"V{i},2126-03-{i % 28 + 1:02d} 06:00,36.{i % 10},T" for i in range(40)]
    receipt = import_file(book, export(chart(*rows, heading="stay,time,value,site")))
    said = " ".join(receipt.notes)
    assert "in the future" in said
    assert "t (40)" in said
    assert Import.objects.get().notes == list(receipt.notes)


def test_a_repair_taken_back_can_count_again(book, export):
    from browline.services.imports.undo import restore_repair

    rows = ["V1,2026-03-07 06:00,97.2", "V2,2026-03-07 06:05,36.7"]
    made = import_file(book, export(chart(*rows, heading="stay,time,Temp (C)")))
    undo_repair(made.imports[0], "unit-put-right", "Ines")
    restore_repair(made.imports[0], "unit-put-right", "Ines")
    assert [r for r, *_ in kept(book)] == [2, 3]


def test_a_row_without_date_and_clock_has_no_time_and_is_never_taken(book, export):
    rows = ["V1,07/03/2026,14:05,36.6", "V2,,,36.7", "V3,13/03/2026,09:30,36.8"]
    path = export(chart(*rows, heading="stay,Date,Time,Temp"))
    made = entry(import_file(book, path))
    assert made["taken"] == 2
    assert made["codes"]["no-time"]["example_rows"] == [3]
    assert entry(import_file(book, path))["taken"] == 0


def test_a_row_with_more_cells_than_headings_is_set_aside_whole(book, export):
    made = import_file(book, export(chart(SOUND[0], SOUND[1] + ",stray,cells")))
    assert entry(made)["codes"]["row-broken"]["example_rows"] == [3]
    assert len(kept(book)) == 1


def test_only_the_unfinished_files_of_a_killed_import_are_swept(book, export):
    import_file(book, export(chart(SOUND[0])))
    named = {p.name for p in book.readings.iterdir()}
    for name in ("00001.staged.part", "0f.parquet.part", "0f.parquet"):
        (book.readings / name).write_bytes(b"left over")
    import_file(book, export(chart(SOUND[1]), "later.csv"))
    after = {p.name for p in book.readings.iterdir()}
    assert named < after
    assert [p.name for p in book.readings.iterdir() if p.read_bytes() == b"left over"] == ["0f.parquet"]
