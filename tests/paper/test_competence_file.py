"""The file that proves a person's competence: what it holds, in which standards, on which paper."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from pypdf import PdfReader

import larch_at_night as cast
from browline.paper import write_competence_file
from browline.paper.competence_file import CAUTION
from browline.services.book.change_preference import set_choice
from browline.services.training.record import record
from browline.services.training.record.gaps import gaps
from larch_at_night import NO_LENS, TODAY, at, demonstration

MADE = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.fixture
def staff(book):
    return cast.a_night()


def written(person, tmp_path):
    found = record(person.pk, TODAY)
    return write_competence_file(found, gaps(found), MADE, tmp_path / "record.pdf")


def read(path):
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_one_side_answers_what_a_surveyor_asks(staff, tmp_path):
    (page,) = read(written(staff["Ana"], tmp_path))
    for said in (
        "record of Ana Reed",
        "Signed off until 05 Jan 2027.",
        "S01",
        "nurse",
        "Larch",
        "Forehead scan",
        "12 months",
        "05 Jan 2026: signed off",
        "version 1, DRAFT",
        "on a patient",
        "FS-07",
        "clean lens",
        "charts it whole",
        "Assessor: Bo Hale, senior nurse",
        "teaches the skill since 2020, from 01 Jan 2025 until further notice",
        "Own standing on that day: Signed off until 01 Dec 2026.",
        "Version 1 of the checklist was not approved and in date on 05 Jan 2026: DRAFT.",
        CAUTION,
        "page 1 of 1",
    ):
        assert said in page, said


def test_a_miss_stands_in_words_and_what_was_done_about_it(staff, tmp_path):
    page = " ".join(read(written(staff["Dee"], tmp_path)))
    assert "clean lens missed" in page and "Practised: looked at lenses together" in page
    assert "To be seen again: clean lens." in page


def test_gaps_are_admitted_and_a_record_brought_in_is_named_so(staff, tmp_path):
    page = " ".join(read(written(staff["Fay"], tmp_path)))
    assert "by a record brought in (no steps recorded)" in page
    assert "Who assessed on 03 Nov 2025 is not recorded." in page


def test_amendments_stand_on_it(staff, tmp_path):
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    demonstration(ana, staff["Bo"], stood.time, NO_LENS, amends=stood, reason="lens seen on the film")
    assert "lens seen on the film (signed off, then not yet)" in " ".join(read(written(ana, tmp_path)))


def test_every_time_on_it_is_by_the_hospitals_clock(staff, tmp_path):
    """Received at 17:04 by UTC in January, made at 12:00 in March: 12:04 and 07:00 in New York, both in winter time."""
    set_choice("zone", "America/New_York", "ines")
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    demonstration(ana, staff["Bo"], stood.time, NO_LENS, amends=stood, reason="lens seen on the film")
    found = record(ana.pk, TODAY)
    (change,) = found.entries[0].amendments
    change = replace(change, at=datetime(2026, 1, 5, 17, 4, tzinfo=UTC))
    found = replace(found, entries=(replace(found.entries[0], amendments=(change,)),))
    page = " ".join(read(write_competence_file(found, [], MADE, tmp_path / "record.pdf")))
    assert "Amended 05 Jan 2026 12:04 EST by" in page and "made 02 Mar 2026 07:00 EST" in page
    assert "UTC" not in page


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_many_observations_run_on_with_page_numbers(staff, tmp_path, paper):
    set_choice("paper", paper, "ines")
    for days in range(8):
        demonstration(
            staff["Cem"], staff["Bo"], at(date(2026, 1, 1) + timedelta(days=days)), NO_LENS, taught="lens"
        )
    pages = read(written(staff["Cem"], tmp_path))
    assert len(pages) >= 3 and f"page 2 of {len(pages)}" in pages[1]
    wide = {"a4": 595, "us-letter": 612}[paper]
    assert float(PdfReader(tmp_path / "record.pdf").pages[0].mediabox.width) == pytest.approx(wide, abs=1)


def test_what_is_typed_never_becomes_markup(staff, tmp_path):
    from browline.store.models import Person

    hostile = '#panic("x") *bold* $x$'
    Person.objects.filter(pk=staff["Ana"].pk).update(name=hostile)
    assert f"record of {hostile}" in read(written(staff["Ana"], tmp_path))[0]


def test_it_declares_both_standards(staff, tmp_path):
    """What the file claims; the typesetter checks the claim while writing. No outside validator is at hand."""
    pdf = PdfReader(written(staff["Ana"], tmp_path))
    claims = pdf.trailer["/Root"]["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in claims and "<pdfaid:part>2</pdfaid:part>" in claims
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_the_same_record_gives_the_same_bytes(staff, tmp_path):
    first = written(staff["Dee"], tmp_path).read_bytes()
    assert written(staff["Dee"], tmp_path).read_bytes() == first
