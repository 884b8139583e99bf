"""The tables: as the contract wants them, the same for the same seed, and without anybody's name."""

import csv
import hashlib
import io
import re

import numpy as np
import pytest

from browline.columns import KINDS, required
from browline.errors import NotUnderstood
from browline.quantities import site_from_word
from browline.synthetic import Hospital, csv_chunks, invent, readings_of
from browline.synthetic.export import SITE_WORDS
from browline.synthetic.names import FIRST, GIVEN, LAST
from browline.synthetic.sites import NAMES

# Every word that may stand in any table. Nothing here is the name of a person, a place or a make.
VOCABULARY = set(
    """C F a b v e p model ward emergency intensive core oral equivalent direct forehead scan ear contact probe
    temporal artery ta t po mouth axilla ax axillary tympanic tymp rectal pr bladder infrared electronic
    refused asleep off lo hi err comfortable after physiotherapy mobilising repeat reading on oxygen struck out
    wrong patient entered in error lens alcohol swab within of limits registered nurse health care assistant
    student bank educator attended signed not yet observation form changed site must be chosen instruments
    delivered training began default temperature removed""".lower().split()
)


def text_of(hospital: Hospital, kind: str) -> str:
    return "".join(csv_chunks(hospital.tables[kind]))


def digest(hospital: Hospital) -> str:
    return hashlib.sha256("".join(text_of(hospital, kind) for kind in KINDS).encode()).hexdigest()


def test_the_same_seed_gives_the_same_bytes_and_another_seed_others() -> None:
    assert digest(invent(5000, seed=7)) == digest(invent(5000, seed=7))
    assert digest(invent(5000, seed=7)) != digest(invent(5000, seed=8))


def test_every_kind_is_there_with_the_columns_of_the_contract(small: Hospital) -> None:
    assert set(small.tables) == set(KINDS)
    for kind, table in small.tables.items():
        known = [c.name for c in KINDS[kind]]
        assert [name for name in known if name in table] == list(table), kind
        assert set(required(kind)) <= set(table), kind
        assert len({len(column) for column in table.values()}) == 1, kind


def test_closed_columns_hold_only_their_choices(small: Hospital) -> None:
    for kind, table in small.tables.items():
        for column in KINDS[kind]:
            if column.choices and column.name in table:
                assert set(table[column.name]) <= set(column.choices), (kind, column.name)


def test_the_sizes_are_about_what_was_asked(small: Hospital, few: Hospital) -> None:
    for hospital, asked in ((small, 60_000), (few, 5000)):
        assert abs(len(hospital.latent) / asked - 1) < 0.1
        assert hospital.truth["rows"] == len(hospital.tables["readings"]["time"])
    fleet, wards = small.tables["instruments"]["instrument"], set(small.tables["readings"]["ward"])
    assert (len(fleet), len(wards)) == (40, 10)
    assert 150 <= len(set(small.tables["readings"]["person"])) <= 200


def test_an_unknown_size_is_refused_with_what_to_do() -> None:
    with pytest.raises(NotUnderstood, match="Wanted small, full, or a number"):
        invent("huge")  # type: ignore[arg-type]
    with pytest.raises(NotUnderstood):
        invent(10)


def test_the_text_reads_back_whole_with_the_standard_library(few: Hospital) -> None:
    for kind, table in few.tables.items():
        rows = list(csv.reader(io.StringIO(text_of(few, kind), newline="")))
        assert rows[0] == list(table)
        assert rows[1:] == [list(row) for row in zip(*table.values(), strict=True)]


def test_staff_identifiers_are_text_with_leading_zeros(small: Hospital) -> None:
    staff = small.tables["people"]["person"]
    assert all(re.fullmatch(r"\d{6}", p) for p in staff)
    assert sum(p.startswith("0") for p in staff) > 0
    assert set(small.tables["readings"]["person"]) <= set(staff)
    assert set(small.tables["sessions"]["person"]) <= set(staff)


def test_every_instrument_read_with_is_in_the_register_and_was_already_delivered(small: Hospital) -> None:
    register = dict(
        zip(small.tables["instruments"]["instrument"], small.tables["instruments"]["from"], strict=True)
    )
    first_use: dict[str, str] = {}
    for d, t in zip(small.tables["readings"]["instrument"], small.tables["readings"]["time"], strict=True):
        first_use[d] = min(t, first_use.get(d, "9"))
    assert first_use.keys() <= register.keys()
    early = [d for d, t in first_use.items() if t[:10] < register[d]]
    assert not early


def test_no_word_in_any_table_is_outside_the_vocabulary(small: Hospital) -> None:
    words = {
        w.lower() for k in KINDS for c in small.tables[k].values() for cell in set(c)
        for w in re.findall(r"[A-Za-z]+", cell)
    }  # fmt: skip
    headings = {w for columns in KINDS.values() for c in columns for w in c.name.split("_")}
    made_up = {part.lower() for part in GIVEN} | {f"{a}{b}".lower() for a in FIRST for b in LAST}
    assert words <= VOCABULARY | headings | made_up


def test_every_site_word_means_its_site_or_is_ambiguous() -> None:
    for site, words in zip(NAMES, SITE_WORDS, strict=True):
        assert {site_from_word(w) for w in words} <= {site, "unknown"}
        assert site_from_word(words[0]) == site


def test_no_part_of_the_truth_stands_in_a_table(small: Hospital) -> None:
    """The review sees text columns of the contract; an unrounded part would show as a long decimal."""
    assert not re.search(r"\d\.\d{3,}", "".join(text_of(small, kind) for kind in KINDS))


def test_the_clean_readings_carry_every_reading_once(small: Hospital) -> None:
    readings = readings_of(small)
    assert len(readings) == len(small.latent)
    names = np.array(readings.names["instrument"])[readings.codes["instrument"]]
    table = small.tables["readings"]["instrument"]
    assert (names[small.row_reading] == table).all()
    in_f = small.house.fleet.in_fahrenheit[readings.codes["instrument"]]
    half = np.where(in_f, 0.05 / 1.8, 0.05)
    assert (np.abs(readings.value - small.latent.measured) <= half + 1e-9).all()
