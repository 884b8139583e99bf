"""Real charted temperatures of an open intensive-care set (see its README): headings, units, sites, clock.

The counts are those of the data set's own description: sites, three Fahrenheit values in the Celsius field,
a clock stored in another zone than the ward's.
"""

import csv
from collections import Counter, defaultdict

import pytest

from browline.intake import (
    Keep,
    can_answer,
    daily_low_warning,
    profile,
    propose,
    read_site,
    read_time,
    read_value,
    recognise,
    shape,
    split_offset,
    time_formats,
)

from .real_data import sample


@pytest.fixture(scope="module")
def rows() -> list[dict[str, str]]:
    with sample("charted-icu/clif_vitals_temperature.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def guess(rows):
    profiles = [profile(h, [r[h] for r in rows]) for h in rows[0]]
    assert recognise(profiles) == "readings"
    return propose("readings", profiles)


def test_the_odd_headings_are_mapped(guess) -> None:
    assert guess.mapping.columns == {
        "stay": "hospitalization_id",
        "time": "recorded_dttm",
        "value": "vital_value",
        "site": "meas_site_name",
    }
    assert guess.mapping.keep == Keep("vital_category", ("temp_c",))
    assert guess.mapping.date_order == "ymd"


def test_the_values_are_celsius_although_fahrenheit_was_charted(guess) -> None:
    assert guess.mapping.unit == "C" and "unit" not in guess.mapping.columns
    assert any("vital_name" in doubt and "converted before" in doubt for doubt in guess.doubts)


def test_the_three_unit_slips_are_put_right_and_nothing_else_is_touched(rows) -> None:
    reads = [(r["vital_value"], read_value(r["vital_value"], "C")) for r in rows]
    mended = [(text, read) for text, read in reads if read.repairs]
    assert sorted(text for text, _ in mended) == ["97.2", "98.9", "99.0"]
    assert all(read.repairs == ("unit-put-right",) and read.unit == "F" for _, read in mended)
    assert all(read.reason is None for _, read in reads)
    assert all(read.celsius == float(text) for text, read in reads if not read.repairs)


def test_every_site_is_read_the_misspelt_one_too(rows) -> None:
    counts = Counter(read_site(r["meas_site_name"])[0] for r in rows)
    assert counts == {"oral": 2749, "axillary": 288, "temporal": 214, "intravascular": 208, "rectal": 121,
                      "oesophageal": 85, "tympanic": 11, "unknown": 91}  # fmt: skip


def test_one_format_reads_every_time(rows) -> None:
    cut = {split_offset(r["recorded_dttm"])[0] for r in rows}
    assert time_formats({shape(t) for t in cut}, "ymd") == ("%Y-%m-%d %H:%M:%S",)
    assert all(read_time(r["recorded_dttm"], "ymd").offset == 0 for r in rows)


def test_the_clock_warning_is_raised(rows) -> None:
    by_hour = defaultdict(list)
    for row in rows:
        by_hour[read_time(row["recorded_dttm"], "ymd").when.hour].append(
            read_value(row["vital_value"], "C").celsius
        )
    means = [(sum(v) / len(v), len(v)) if (v := by_hour[h]) else (float("nan"), 0) for h in range(24)]
    assert "time zone" in (daily_low_warning(means) or "")


def test_what_the_file_cannot_answer(guess) -> None:
    answers = can_answer({"readings": guess.mapping.columns})
    assert {r.column for r in answers.requests} == {"instrument", "person", "ward", "entered", "unit"}
