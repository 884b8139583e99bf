"""What an earlier version said of instruments used by mouth is taken back by an event with its reason."""

import json
from pathlib import Path

import jsonschema
import pytest

from browline.findings import NOT_JUDGED, TAKEN_BACK
from browline.paper import look_back_sheet
from browline.paper.html import write_html
from browline.services.imports.run import import_file
from browline.services.instruments.register import instruments_overview
from browline.services.review.outcomes import confirmed_share, next_step, record_outcome
from browline.services.review.run import review
from browline.services.review.stored_report import review_report
from browline.store.book import open_book
from browline.store.models import Event, Finding, Review, Setting

SCHEMA = json.loads((Path(__file__).parents[3] / "docs" / "schema" / "review.json").read_text())
FOREHEAD, MOUTH = [f"FS-{k:02d}" for k in range(6)], [f"PR-{k:02d}" for k in range(5)]
OFF = {"FS-01": -0.6, "PR-01": 0.6}


def charts():
    """Two wards, six instruments for the forehead and five for the mouth, one of each 0.6 °C off."""
    rows = ["stay,time,Temp (C),site,instrument,ward"]
    for i in range(4400):
        stay, step = i // 11, i % 11
        name = (FOREHEAD + MOUTH)[(step + stay) % 11]
        level = 36.6 + 0.1 * (stay * 7 % 9) + 0.1 * (i * 5 % 3)
        site = "Oral" if name in MOUTH else "Temporal"
        when = f"2026-03-{stay % 28 + 1:02d} {2 * step:02d}:{stay % 60:02d}"
        rows.append(
            f"V{stay},{when},{level + OFF.get(name, 0):.1f},{site},{name},{'5 West' if stay % 2 else '6 East'}"
        )
    return "\n".join(rows)


@pytest.fixture
def charted(book, export):
    import_file(book, export(charts()))
    return book


@pytest.fixture
def earlier(charted, monkeypatch):
    """The book as a version left it that judged every instrument."""
    monkeypatch.setattr("browline.variation.judged.NOT_TOLD_APART", ())
    made = review(charted)
    monkeypatch.undo()
    for part in ("instruments", "wards"):
        for row in made.result[part]:
            del row["judged"], row["reason"]
    made.save()
    Setting.objects.filter(key="judged-anew").delete()
    assert {"FS-01", "PR-01"} <= set(Finding.objects.values_list("subject_id", flat=True))
    return charted


def of(name):
    return Finding.objects.get(kind="instrument-offset", subject_id=name)


def row_of(made, name):
    return next(row for row in made.result["instruments"] if row["instrument"] == name)


def test_a_review_says_nothing_of_an_instrument_used_by_mouth(charted):
    made = review(charted)
    jsonschema.validate(made.result, SCHEMA)
    row = row_of(made, "PR-01")
    assert (row["judged"], row["reason"]) == (False, NOT_JUDGED)
    for key in ("offset_c", "low_c", "high_c", "probability_beyond", "drift_c_per_day", "since"):
        assert row[key] is None
    assert row["n"] == 400
    assert row_of(made, "FS-01")["judged"] and row_of(made, "FS-01")["offset_c"] < -0.4
    assert set(Finding.objects.values_list("subject_id", flat=True)) == {"FS-01"}
    assert "PR-01" not in made.supplement["model"]["instruments"]
    assert "PR-01" not in made.supplement["weeks"]["instrument"]
    assert any("not judged yet" in sentence for sentence in made.result["limits"])


def test_pages_and_report_show_the_sentence_for_the_number(charted, tmp_path):
    made = review(charted)
    shown = {row["name"]: row for row in instruments_overview(charted)}
    assert shown["PR-01"]["not_judged"] == NOT_JUDGED and shown["PR-01"]["offset_c"] is None
    assert shown["FS-01"]["not_judged"] == ""
    page = write_html(review_report(made), tmp_path / "report.html").read_text()
    assert page.count(NOT_JUDGED) >= len(MOUTH)


def test_the_next_review_takes_back_an_open_finding_with_its_reason(earlier):
    Setting.objects.create(key="judged-anew", value=True)
    review(earlier)
    assert of("PR-01").state == Finding.WITHDRAWN and of("PR-01").withdrawn == TAKEN_BACK
    told = Event.objects.get(verb="withdrawn")
    assert (told.subject, told.data["reason"]) == (of("PR-01").key, TAKEN_BACK)
    assert of("FS-01").state == Finding.STILL


def test_a_book_of_the_version_before_is_put_right_when_opened(earlier):
    opened = open_book(earlier.folder)
    assert of("PR-01").state == Finding.WITHDRAWN and of("FS-01").state == Finding.NEW
    made = Review.objects.get()
    jsonschema.validate(made.result, SCHEMA)
    assert row_of(made, "PR-01")["offset_c"] is None and row_of(made, "FS-01")["offset_c"] < -0.4
    assert {f["subject"]["id"] for f in made.result["findings"]} == {"FS-01"}
    kept = made.supplement["withdrawn"]
    assert [f["subject"]["id"] for f in kept["findings"]] == ["PR-01"]
    was = next(row for row in kept["instruments"] if row["instrument"] == "PR-01")
    assert was["offset_c"] > 0.4, "what was said is kept"
    assert "instrument PR-01" in kept["series"]
    open_book(opened.folder)
    assert Event.objects.filter(verb="withdrawn").count() == 1, "once"


def test_a_book_that_was_never_judged_wrongly_is_left_as_it_is(charted):
    review(charted)
    before = list(Review.objects.values_list("result", "supplement"))
    Setting.objects.filter(key="judged-anew").delete()
    open_book(charted.folder)
    assert list(Review.objects.values_list("result", "supplement")) == before
    assert not Event.objects.filter(verb="withdrawn").exists()


def test_a_book_whose_readings_are_not_there_is_put_right_later(earlier):
    files = list(earlier.readings.glob("*.parquet"))
    moved = [file.rename(file.with_suffix(".away")) for file in files]
    open_book(earlier.folder)
    assert of("PR-01").state == Finding.NEW
    for file, away in zip(files, moved, strict=True):
        away.rename(file)
    open_book(earlier.folder)
    assert of("PR-01").state == Finding.WITHDRAWN


def test_a_finding_withdrawn_asks_for_nothing_and_counts_only_where_it_was_checked(earlier):
    assert confirmed_share() == (2, 0, 0)
    open_book(earlier.folder)
    assert next_step(of("PR-01")).startswith("Nothing because of this finding")
    assert confirmed_share() == (1, 0, 0)
    record_outcome(of("PR-01").pk, "out-of-limits", "", "Ines")
    assert confirmed_share() == (2, 1, 1)


def test_the_report_lists_what_was_taken_back(earlier, tmp_path):
    open_book(earlier.folder)
    report = review_report(Review.objects.get())
    section = next(s for s in report.sections if s.title == "Withdrawn")
    assert section.blocks[0].rows == (("PR-01", "instrument offset", TAKEN_BACK),)
    pages = [s.title for s in report.sections]
    assert "Instrument FS-01" in pages and "Instrument PR-01" not in pages


def test_the_look_back_list_of_a_withdrawn_finding_says_so():
    said = look_back_sheet("PR-01", [("file 1", (2, 3))], TAKEN_BACK)
    assert said.rows == [("PR-01", "file 1", 2, TAKEN_BACK), ("PR-01", "file 1", 3, TAKEN_BACK)]
    assert "withdrawn" in said.name and "withdrawn" in said.headings[-1]
    assert look_back_sheet("PR-01", [("file 1", (2,))]).rows == [("PR-01", "file 1", 2)]


def test_a_finding_that_is_made_again_stands_again(earlier, monkeypatch):
    open_book(earlier.folder)
    monkeypatch.setattr("browline.variation.judged.NOT_TOLD_APART", ())
    review(earlier)
    assert of("PR-01").state == Finding.NEW and of("PR-01").withdrawn == ""
    assert "withdrawn" not in of("PR-01").data


def test_people_listed_from_a_file_that_is_not_peoples_are_taken_back(earlier):
    made = Review.objects.get()
    person = {**row_of(made, "FS-01"), "person": "N-1", "offset_c": 2.5}
    del person["instrument"]
    about = {
        **made.result["findings"][0],
        "kind": "technique-support",
        "subject": {"type": "person", "id": "N-1"},
    }
    made.result |= {"people": [{**person, "person": f"N-{k}"} for k in range(12)]}
    made.result["findings"].append(about)
    made.save()
    Finding.objects.create(key="technique-support|person|N-1", kind="technique-support", subject_type="person",
                           subject_id="N-1", data=about, first_review=made, last_review=made)  # fmt: skip
    open_book(earlier.folder)
    made.refresh_from_db()
    assert made.result["people"] == [] and made.result["people_not_listed"]["beyond"] == 12
    jsonschema.validate(made.result, SCHEMA)
    assert len(made.supplement["withdrawn"]["people"]) == 12
    taken = Finding.objects.get(subject_type="person")
    assert taken.state == Finding.WITHDRAWN and taken.withdrawn.startswith("Look at the file")
