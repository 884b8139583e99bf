"""The review: the contract's document, findings kept across reviews, what stands behind each."""

import json
from pathlib import Path

import jsonschema
import pytest

from browline.errors import InputRefused, NotUnderstood
from browline.services.imports.mapping import FileAnswers
from browline.services.imports.run import import_file
from browline.services.review.look_back import look_back
from browline.services.review.outcomes import confirmed_share, record_outcome
from browline.services.review.run import review
from browline.store.models import Event, Finding, Review

SCHEMA = json.loads((Path(__file__).parents[3] / "docs" / "schema" / "review.json").read_text())
CHARTED = Path(__file__).parents[2] / "data" / "charted-icu" / "clif_vitals_temperature.csv"


def test_the_review_of_the_hospital_keeps_the_contract(hospital_by_person):
    alone, by_person = Review.objects.order_by("pk")
    jsonschema.validate(alone.result, SCHEMA)
    jsonschema.validate(by_person.result, SCHEMA)


def test_the_review_of_real_charts_says_what_it_cannot_know(book):
    import_file(book, CHARTED)
    made = review(book)
    jsonschema.validate(made.result, SCHEMA)
    assert made.result["instruments"] == []
    assert made.result["readings"]["instruments"] is None
    said = " ".join(made.result["limits"])
    assert "whole fleet may be off" in said
    assert "which instrument" in said
    assert {s["site"] for s in made.result["sites"]} >= {"oral", "temporal", "axillary"}


def test_with_only_time_ward_value_and_site_everything_still_runs(book, export):
    lines = [f"2026-03-{i % 28 + 1:02d} {i % 24:02d}:00,36.{i % 10},Oral,5 West" for i in range(200)]
    receipt = import_file(book, export("\n".join(["time,value,site,ward", *lines])))
    assert {r["column"] for r in receipt.requests} >= {"instrument", "stay"}
    made = review(book)
    jsonschema.validate(made.result, SCHEMA)
    assert made.result["instruments"] == made.result["sites"] == []
    assert any("belong to one patient" in sentence for sentence in made.result["limits"])


def test_a_book_without_readings_is_not_called_faultless(book, hospital):
    from datetime import date

    with pytest.raises(InputRefused, match="no readings in these days"):
        review(hospital, since=date(2020, 1, 1), until=date(2020, 1, 2))
    from browline.store.book import open_book

    with pytest.raises(InputRefused, match="holds no readings"):
        review(open_book(book.folder))


def test_a_review_narrowed_to_some_days_counts_only_these_and_changes_nothing_that_stands(hospital):
    from datetime import date

    from browline.store.models import last_whole_review

    before = list(Finding.objects.order_by("pk").values_list("key", "state", "last_review"))
    whole = last_whole_review()
    made = review(hospital, since=date(2026, 1, 1), until=date(2026, 1, 31))
    assert made.result["readings"]["from"] >= "2026-01-01"
    assert made.result["readings"]["until"] < "2026-02-01"
    assert made != whole
    assert last_whole_review() == whole
    assert list(Finding.objects.order_by("pk").values_list("key", "state", "last_review")) == before


def test_people_are_named_only_when_asked_for(hospital_by_person):
    alone, by_person = Review.objects.order_by("pk")
    assert "people" not in alone.result
    names = {p["person"] for p in by_person.result["people"]}
    assert names and all(len(name) < 15 for name in names), "identifiers as she knows them, no pseudonyms"


def test_findings_are_new_then_still_there_then_gone(hospital):
    first = {f.key: f.state for f in Finding.objects.all()}
    assert first and set(first.values()) == {Finding.NEW}
    review(hospital)
    assert set(Finding.objects.values_list("state", flat=True)) == {Finding.STILL}
    from browline.services.book.change_preference import set_choice

    set_choice("tolerance_c", 2.0, "Ines")
    review(hospital)
    offsets = Finding.objects.filter(kind="instrument-offset")
    assert offsets and {f.state for f in offsets} == {Finding.GONE}


def test_an_outcome_closes_a_finding_and_is_counted(hospital):
    flagged = list(Finding.objects.filter(subject_type="instrument"))
    assert confirmed_share() == (len(flagged), 0, 0)
    record_outcome(flagged[0].pk, "within-limits", "", "Ines")
    assert confirmed_share() == (len(flagged), 1, 0)
    record_outcome(flagged[0].pk, "out-of-limits", "", "Ines")
    assert confirmed_share() == (len(flagged), 1, 1)
    review(hospital)
    assert Finding.objects.get(pk=flagged[0].pk).state == Finding.CLOSED
    assert Event.objects.filter(verb="outcome").count() == 2
    with pytest.raises(NotUnderstood):
        record_outcome(flagged[0].pk, "thrown away", "", "Ines")


def test_only_an_outcome_that_ends_the_matter_closes_a_finding(hospital):
    finding = Finding.objects.filter(kind="instrument-offset").first()
    for code, state in [
        ("lens-cleaned", "new"),
        ("not-found", "new"),
        ("out-of-limits", "new"),
        ("replaced", "closed"),
    ]:
        record_outcome(finding.pk, code, "", "Ines")
        assert Finding.objects.get(pk=finding.pk).state == state, code
    assert confirmed_share()[1:] == (1, 1)


def test_the_next_step_follows_what_was_found(hospital):
    from browline.services.review.outcomes import next_step

    finding = Finding.objects.filter(kind="instrument-offset").first()
    assert "spare" in next_step(finding)
    record_outcome(finding.pk, "out-of-limits", "", "Ines")
    assert "repaired or replaced" in next_step(finding)


def test_readings_of_an_instrument_found_sound_count_again(hospital):
    def unreliable(made):
        return sum(m["unreliable"] for m in made.supplement["months"])

    before = unreliable(Review.objects.get())
    finding = Finding.objects.filter(kind="instrument-offset").first()
    record_outcome(finding.pk, "within-limits", "", "Ines")
    assert unreliable(review(hospital)) < before


def test_the_look_back_list_names_the_rows_of_the_file(hospital, hospital_folder):
    import csv

    finding = Finding.objects.filter(kind="instrument-offset").first()
    back = look_back(hospital, finding)
    assert back.count > 0
    with (hospital_folder / "readings.csv").open(newline="") as file:
        table = list(csv.reader(file))
    column = table[0].index("instrument")
    rows = [row for _, numbers in back.files for row in numbers]
    assert {table[row - 1][column] for row in rows} == {finding.subject_id}


def test_months_never_hold_more_unreliable_readings_than_readings(hospital):
    months = Review.objects.first().supplement["months"]
    total = Review.objects.first().result["readings"]["total"]
    assert sum(m["readings"] - m["why"]["no-temperature"] for m in months) == total
    assert all(0 <= m["unreliable"] <= m["readings"] for m in months)


def test_slips_of_unit_are_counted_for_their_instrument_and_listed_by_row(book, export):
    lines = []
    for i in range(120):
        value = "98.2" if i % 4 == 0 else "36.8"
        lines.append(f"V{i % 20},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{value},FS-01")
    # A fourth of the file in the other unit: she is asked first, and says that they are people's.
    path = export("\n".join(["stay,time,Temp (C),instrument", *lines]))
    import_file(book, path, answers=FileAnswers(people="yes"))
    review(book)
    finding = Finding.objects.get(kind="instrument-unit")
    assert (finding.subject_id, finding.data["effect"], finding.data["n"]) == ("FS-01", 0.25, 120)
    back = look_back(book, finding)
    assert back.count == 30
    assert back.files[0][1][:3] == (2, 6, 10)


def _training_of(book, export, heading, row):
    """What a review of sixty readings says of training."""
    lines = [row.format(n=n % 7, day=n % 28 + 1, tenth=n % 9) for n in range(60)]
    import_file(book, export("\n".join([heading, *lines])))
    return review(book).result["training"]["sentence"]


def test_where_the_patient_is_missing_it_is_not_said_that_who_charted_is(book, export):
    heading = "time,value,site,ward,nurse,asset"
    said = _training_of(book, export, heading, "2026-03-{day:02d} 10:00,36.{tenth},oral,Larch,N0{n},FS-0{n}")
    assert said == (
        "The charts do not say which readings belong to one patient, so whether training changed practice cannot be "
        "asked."
    )


def test_every_column_that_training_needs_and_only_those_missing_are_named(book, export):
    said = _training_of(book, export, "stay,time,value,site", "V{n},2026-03-{day:02d} 10:00,36.{tenth},oral")
    assert said == (
        "The charts do not say who charted which reading, the ward or which instrument took a reading, so whether "
        "training changed practice cannot be asked."
    )


def test_where_the_charts_say_all_it_is_the_sign_offs_that_are_missing(book, export):
    heading = "stay,time,value,site,ward,nurse,asset"
    row = "V{n},2026-03-{day:02d} 10:00,36.{tenth},oral,Larch,N0{n},FS-0{n}"
    said = _training_of(book, export, heading, row)
    assert said.startswith(
        "The book does not say who was signed off when, or has no reading that they charted after"
    )
