"""The kept book opens: migrated, nothing lost, no deed repeated."""

from kept import ZIP, readings_in_force, rows

from browline.store.book import open_book

LARGEST = 500_000


def test_the_zip_is_small():
    assert ZIP.stat().st_size <= LARGEST


def test_it_opens_with_every_row_it_had(kept):
    fewer = {name: (then, rows().get(name, 0)) for name, then in kept.facts["rows"].items()}
    assert {name: pair for name, pair in fewer.items() if pair[1] < pair[0]} == {}


def test_its_readings_count_as_they_did(kept):
    assert readings_in_force(kept.book) == kept.facts["readings"]


def test_it_opens_a_second_time_as_it_was(kept):
    before = rows()
    open_book(kept.book.folder)
    assert rows() == before
