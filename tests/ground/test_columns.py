"""The rows of the kinds of import: whole, and at one with each other."""

from collections import defaultdict

import pytest

from browline.columns import IMPORT_KINDS, KINDS

ROWS = list(IMPORT_KINDS.values())


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_a_row_is_whole(row):
    names = [c.name for c in row.columns]
    assert len(set(names)) == len(names)
    assert row.title.startswith(row.id)
    assert set(row.identity) <= set(names)
    assert bool(row.signs) == (row.reader == "columns")
    if row.signs:
        assert set(row.signs.headings + row.signs.any_column) <= set(names)
    # Readings lie in files and say what they answer column by column; every other kind says it in a sentence.
    assert row.answers.endswith(".") or row.id == "readings"
    assert bool(row.identity) == (row.reader == "columns" and row.id != "readings")


@pytest.mark.parametrize("kind", KINDS)
def test_every_column_says_how_hospitals_head_it_and_every_choice_how_they_write_it(kind):
    for column in KINDS[kind]:
        assert column.headings, column.name
        assert set(column.words) == (set(column.choices) if column.type == "closed" else set()), column.name
        assert column.tick in ("", *column.choices)
        words = [" ".join(w.split()) for said in column.words.values() for w in said.split(",")]
        assert len(set(words)) == len(words), column.name


def test_columns_of_one_name_are_headed_alike():
    headings = defaultdict(set)
    for columns in KINDS.values():
        for column in columns:
            headings[column.name].add(column.headings)
    assert {name for name, several in headings.items() if len(several) > 1} == set()


def test_kinds_are_tried_in_an_order_without_ties():
    ranks = [row.signs.rank for row in ROWS if row.signs]
    assert len(set(ranks)) == len(ranks)


def test_every_kind_read_by_its_headings_has_a_register(book):
    from browline.store.importing.register_rows import REGISTERS

    assert set(REGISTERS) == set(KINDS) - {"readings"}


def test_every_reader_that_a_row_names_is_there(book):
    from browline.services.imports.run import READERS

    assert set(READERS) == {row.reader for row in ROWS}
