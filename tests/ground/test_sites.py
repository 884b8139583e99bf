"""The rows of the measuring sites: whole, no word or code that means two, and known to each room with numbers."""

from collections import Counter

import pytest

from browline.quantities.sites import AMBIGUOUS_WORDS, CATALOGUE, ROWS, WAYS, plain_word
from browline.questioned.published import SITES as PUBLISHED
from browline.questioned.published import published
from browline.site_choice import LAYOUT, default, rules_of


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.code)
def test_a_row_is_whole(row):
    assert row.name and row.charted and len(CATALOGUE) == len(ROWS)
    assert [plain_word(word) for word in row.charted] == list(row.charted)
    assert row.way is None or row.way.name == row.code
    # A probe is read where it lies; every other site can be chosen.
    assert (row.way is None) == row.core


@pytest.mark.parametrize("field", ["charted", "loinc", "snomed", "snomed_observables", "snomed_methods"])
def test_no_word_and_no_code_means_two_sites(field):
    counted = Counter(word for row in ROWS for word in getattr(row, field))
    assert {word for word, n in counted.items() if n > 1} == set()
    assert field != "charted" or not set(counted) & set(AMBIGUOUS_WORDS)


def test_ways_have_names_and_places_of_their_own():
    for field in ("name", "rank", "in_rules", "says", "card"):
        assert len({getattr(way, field) for way in WAYS}) == len(WAYS), field


def test_the_numbers_of_questioned_readings_are_there_for_every_site_and_no_other():
    assert set(PUBLISHED) == set(CATALOGUE)
    assert set(published().sites) == set(CATALOGUE)


def test_rules_keep_the_names_that_books_have_and_code_has_one_name_for_a_site():
    kept = {word for row in default()["rows"] for word in row["sites"]}
    (field,) = (one for one in LAYOUT.fields if one.name == "sites")
    assert kept <= set(field.choices) and {"forehead", "forehead-then-ear"} <= kept
    read = {site for rule in rules_of(default()) for site in rule.sites}
    assert {"temporal", "temporal-then-ear"} <= read <= {way.name for way in WAYS}
