"""What a receipt says of a file's clock where no zone was said: whether the times themselves say it."""

import pytest

from browline.services.imports.run import import_file

NONE_SAID = "No time zone was said (--zone Europe/London), so charted times are taken as they stand."


def notes(book, export, *times, **options):
    lines = [f"V{n},{time},36.{n},oral,Larch" for n, time in enumerate(times)]
    return import_file(book, export("\n".join(["stay,time,temp,site,ward", *lines, ""])), **options).notes


@pytest.mark.parametrize("ending", ["Z", "+00:00", "+01:00", " UTC"])
def test_times_that_say_their_offset_are_not_said_to_lack_a_zone(book, export, ending):
    said = notes(book, export, f"2026-03-07T10:00:00{ending}", f"2026-03-07T14:05:00{ending}")
    assert not any("No time zone was said" in note for note in said)
    (note,) = [note for note in said if "offset from UTC" in note]
    assert note.startswith("The times say their own offset from UTC")


def test_the_times_of_a_bundle_are_not_said_to_lack_a_zone(book, export):
    import json

    observation = {
        "resourceType": "Observation", "status": "final", "subject": {"reference": "Patient/1"},
        "code": {"coding": [{"system": "http://loinc.org", "code": "8310-5"}]},
        "effectiveDateTime": "2026-03-07T10:00:00Z", "valueQuantity": {"value": 36.6, "code": "Cel"},
    }  # fmt: skip
    bundle = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": observation}]}
    said = import_file(book, export(json.dumps(bundle), "bundle.json")).notes
    assert not any("No time zone was said" in note for note in said)


def test_where_some_times_say_it_the_others_are_counted(book, export):
    said = notes(book, export, "2026-03-07T10:00:00Z", "2026-03-07 11:00", "2026-03-07 12:00")
    assert any(note.startswith("1 of 3 times say their own offset from UTC") for note in said)


def test_wall_clocks_without_a_zone_are_still_said_to_lack_one(book, export):
    assert NONE_SAID in notes(book, export, "2026-03-07 10:00")


def test_with_a_zone_nothing_is_said(book, export):
    said = notes(book, export, "2026-03-07T10:00:00Z", "2026-03-07 11:00", zone="Europe/London")
    assert not any("offset" in note or "zone" in note for note in said)
