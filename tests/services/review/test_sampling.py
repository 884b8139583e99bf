"""The audit sample of a book: the same list for the same seed, by row and never by patient, with an event."""

import csv
import re
from collections import Counter
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from browline.audit.sample import charts_needed
from browline.errors import InputRefused, NotUnderstood
from browline.services.book.change_preference import set_choice
from browline.services.review.sampling import HEADINGS, LOOK_FOR, draw_sample, table
from browline.store.models import Event, Import


@pytest.fixture
def rows(hospital_folder):
    """The rows of the export as the file has them, by the numbers a spreadsheet shows."""
    with (hospital_folder / "readings.csv").open(newline="") as file:
        return dict(enumerate(csv.DictReader(file), start=2))


def test_a_list_names_rows_as_they_stand_in_the_file(hospital, rows):
    sample = draw_sample(hospital, count=40, seed=7)
    assert sample.count == 40 and len({c.row for c in sample.charts}) == len(sample.charts) == 44
    for chart in sample.charts:
        assert rows[chart.row]["time"].startswith(chart.time)
        assert rows[chart.row]["ward"] == chart.ward


def test_the_imports_behind_a_list_can_be_told_apart_by_day_and_rows(hospital, export):
    """The day is the hospital's own: half past eleven at night in UTC is the next day in London's summer."""
    from browline.services.imports.run import import_file

    lines = [f"V{i},2026-03-{i % 28 + 1:02d} {i % 24:02d}:00,36.{i % 10},Oral" for i in range(70)]
    import_file(hospital, export("\n".join(["stay,time,value,site", *lines])), zone="Europe/London")
    Import.objects.update(at=datetime(2026, 7, 3, 23, 30, tzinfo=UTC))
    set_choice("zone", "Europe/London", "educator")
    sample = draw_sample(hospital, count=10**6, seed=7)
    sizes = Counter(c.source for c in sample.charts)
    assert {o.number: o.taken for o in sample.imports} == sizes and 70 in sizes.values() and len(sizes) == 2
    assert {o.day for o in sample.imports} == {date(2026, 7, 4)}
    cells = {row[2] for row in table(sample)}
    assert cells == {
        f"import {o.number}: {o.label}, imported 2026-07-04, {o.taken:,} rows taken" for o in sample.imports
    }


def test_the_list_says_what_met_means():
    assert LOOK_FOR == (
        "Decide first what you look for, for example: value, time and site agree with the bedside record"
    )
    assert HEADINGS[-1] == f"met, yes or no. {LOOK_FOR}"
    guide = (Path(__file__).parents[3] / "docs" / "guide.md").read_text()
    assert LOOK_FOR in " ".join(guide.split())


def test_no_patient_or_stay_stands_on_the_list(hospital, rows):
    said = str(draw_sample(hospital, count=300, seed=7).charts)
    assert not any(rows[r][c] in said for r in rows for c in ("patient", "stay") if rows[r][c])
    assert not re.search(r"\d{9,}", said)  # a pseudonym is a long number


def test_the_same_seed_gives_the_same_list_and_no_seed_a_new_one(hospital):
    a, b = (draw_sample(hospital, count=20, seed=11) for _ in range(2))
    assert a == b
    assert draw_sample(hospital, count=20, seed=12).charts != a.charts
    unsaid = draw_sample(hospital, count=20)
    assert draw_sample(hospital, count=20, seed=unsaid.seed) == unsaid


def test_the_list_is_as_long_as_the_precision_needs(hospital):
    sample = draw_sample(hospital, half_width=0.05, expected=0.9, seed=1)
    assert sample.count == charts_needed(0.05, 0.9, sample.population)
    assert sample.population == len(
        draw_sample(hospital, count=10**6, seed=1).charts
    )  # all of them, no stand-ins left


def test_by_ward_every_ward_has_its_share(hospital):
    sample = draw_sample(hospital, count=60, by_ward=True, seed=1)
    wards = {c.ward for c in sample.charts}
    everything = draw_sample(hospital, count=10**6, seed=1).charts
    for ward in {c.ward for c in everything}:
        here = sum(c.ward == ward for c in everything)
        drawn = sum(c.ward == ward and not c.stand_in for c in sample.charts)
        assert abs(drawn - 60 * here / len(everything)) < 1, ward
        assert sum(c.ward == ward and c.stand_in for c in sample.charts) >= 2
    assert wards == {c.ward for c in everything}


def test_a_list_of_one_ward_and_some_days_holds_nothing_else(hospital):
    ward = draw_sample(hospital, count=1, by_ward=True, seed=1).charts[0].ward
    first, last = date(2026, 2, 1), date(2026, 2, 28)
    sample = draw_sample(hospital, count=15, ward=ward, since=first, until=last, seed=2)
    assert {c.ward for c in sample.charts} == {ward}
    assert {c.time[:7] for c in sample.charts} == {"2026-02"}
    day = draw_sample(hospital, count=3, since=first, until=first, seed=2)
    assert {c.time[:10] for c in day.charts} == {"2026-02-01"}


def test_a_draw_is_one_event_that_can_be_drawn_again(hospital):
    before = Event.objects.count()
    sample = draw_sample(hospital, count=15, seed=2, actor="Ines")
    assert Event.objects.count() == before + 1
    event = Event.objects.first()
    assert (event.verb, event.actor, event.data["seed"], event.data["charts"], event.data["of"]) == (
        "sample",
        "Ines",
        2,
        15,
        sample.population,
    )


def test_nothing_to_draw_from_is_refused_and_leaves_no_event(book, hospital):
    before = Event.objects.count()
    with pytest.raises(NotUnderstood, match="Its wards are Emergency"):
        draw_sample(hospital, count=5, ward="Ward 99")
    with pytest.raises(InputRefused, match="no charted readings"):
        draw_sample(hospital, count=5, since=date(2030, 1, 1))
    assert Event.objects.count() == before


def test_charts_that_say_no_ward_can_be_drawn_too(book, export):
    from browline.services.imports.run import import_file

    lines = [f"V{i},2026-03-{i % 28 + 1:02d} {i % 24:02d}:00,36.{i % 10}" for i in range(50)]
    import_file(book, export("\n".join(["stay,time,value", *lines])))
    sample = draw_sample(book, count=5, by_ward=True, seed=1)
    assert {c.ward for c in sample.charts} == {"ward not said"}
