"""Bringing a file in, its receipt, and charts."""

import io
import os
from html.parser import HTMLParser
from pathlib import Path

import fenwick_vale
import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

LARCH = b"""MRN,Visit,Obs time,Temp,Units,Route,Ward,Asset,Nurse
PLANTED-1,V1,2026-03-07 10:00,36.6,C,Temporal,Larch,TA-07,00417
PLANTED-1,V1,2026-03-07 14:05,37.9,C,Temporal,Larch,TA-07,00417
PLANTED-2,V2,2026-03-07 10:10,LO,C,Oral,Larch,TA-08,00417
"""
AMBIGUOUS = b"""Patient,Obs time,Temp,Ward
P1,03/04/2026 10:00,36.6,Larch
P1,05/06/2026 11:00,36.7,Larch
"""


def text(answer):
    return " ".join(answer.content.decode().split())


def bring(browser, content=LARCH, name="larch.csv"):
    """Drop a file; the address where it is looked at."""
    answer = browser.post("/readings/bring/", {"files": SimpleUploadedFile(name, content)})
    assert answer.status_code == 302, text(answer)
    return answer["Location"]


@pytest.fixture(autouse=True)
def nothing_left_over():
    """No test sees another's uploads."""
    from browline.web.readings import held

    yield
    for upload in list(held._held.values()):
        held.forget(upload.token)


@pytest.fixture
def started(monkeypatch):
    """What jobs were asked to do, instead of doing it."""
    from browline.duties import jobs
    from browline.store.models import Job

    asked = []

    def start(book, verb, arguments, fds=()):
        asked.append({"verb": verb, "fds": tuple(fds), **arguments})
        return Job.objects.create(verb=verb, arguments=arguments)

    monkeypatch.setattr(jobs, "start", start)
    return asked


class FormReader(HTMLParser):
    """What a browser would send back if she changed nothing."""

    def __init__(self):
        super().__init__()
        self.fields, self.select = {}, None

    def handle_starttag(self, tag, attributes):
        told = dict(attributes)
        if tag == "input" and told.get("name"):
            self.fields[told["name"]] = told.get("value", "")
        elif tag == "select":
            self.select = told["name"]
            self.fields[self.select] = ""
        elif tag == "option" and self.select and "selected" in told:
            self.fields[self.select] = told["value"]

    def handle_endtag(self, tag):
        if tag == "select":
            self.select = None


def as_shown(browser, address):
    """The form as the page shows it, ready to be sent back."""
    reader = FormReader()
    reader.feed(browser.get(address).content.decode())
    return reader.fields


def test_a_file_is_looked_at_and_nothing_is_taken(ines):
    from browline.store.models import Event, Import

    page = text(ines.get(bring(ines)))
    assert "Nothing has been taken yet" in page
    assert "heading says “Temp”" in page
    assert not Import.objects.exists() and not Event.objects.filter(verb="import").exists()


def test_the_guess_can_be_seen_line_by_line(ines):
    fields = as_shown(ines, bring(ines))
    assert fields["t0-column-time"] == "Obs time"
    assert fields["t0-column-value"] == "Temp"
    assert fields["t0-column-instrument"] == "Asset"
    assert fields["t0-column-site"] == "Route"


def test_what_is_not_mapped_is_said_not_to_be_stored(ines):
    page = text(ines.get(bring(ines, LARCH.replace(b"Nurse", b"Diet"))))
    assert "Not taken and not stored:" in page and "Diet" in page.split("Not taken and not stored:")[1]


def test_a_file_is_taken_as_she_mapped_it(ines, started):
    from browline.intake import from_toml

    address = bring(ines)
    fields = as_shown(ines, address) | {"t0-column-site": "", "zone": "Europe/London"}
    answer = ines.post(address + "take/", fields)
    assert answer["Location"] == "/work/1/"
    (asked,) = started
    mapping = from_toml(next(iter(asked["mappings"].values())))
    assert asked["verb"] == "import" and asked["zone"] == "Europe/London"
    assert mapping.columns["value"] == "Temp" and "site" not in mapping.columns


def test_a_needed_column_cannot_be_left_out(ines, started):
    address = bring(ines)
    answer = ines.post(address + "take/", as_shown(ines, address) | {"t0-column-value": ""})
    assert answer.status_code == 422
    assert "Say which heading holds value." in text(answer)
    assert not started


def test_an_unknown_zone_is_refused(ines, started):
    address = bring(ines)
    answer = ines.post(address + "take/", as_shown(ines, address) | {"zone": "Larch/Ward"})
    assert answer.status_code == 422 and not started
    assert "Europe/London is one" in text(answer)


def test_a_date_order_that_cannot_be_settled_is_asked_for(ines, started):
    address = bring(ines, AMBIGUOUS)
    assert "Answer below before you take the file" in text(ines.get(address))
    fields = as_shown(ines, address)
    assert ines.post(address + "take/", fields).status_code == 422
    assert ines.post(address + "take/", fields | {"t0-date_order": "dmy"}).status_code == 302
    assert 'date_order = "dmy"' in next(iter(started[0]["mappings"].values()))


def test_another_kind_shows_its_own_lines(ines, started):
    address = bring(ines)
    fields = as_shown(ines, address) | {"t0-kind": "cleanings", "show-kind": "1"}
    page = text(ines.post(address + "take/", fields))
    assert "what it was cleaned with" in page and not started


def test_a_file_that_cannot_be_read_is_refused_in_words(ines):
    answer = ines.get(bring(ines, b"\x00\x01\x02" * 50, "photo.bin"))
    assert answer.status_code == 422
    assert "What to do:" in text(answer)


def test_what_the_book_can_and_cannot_answer_stands_with_its_files(ines):
    fenwick_vale.an_import(mapping={"columns": {}, "filled": ["time", "value", "ward"]})
    page = text(ines.get("/readings/"))
    assert "What this book can and cannot answer" in page
    assert "no column says which thermometer was used" in page


def test_no_file_at_all(ines):
    assert "No file came." in text(ines.post("/readings/bring/", {}, follow=True))


def memory_files():
    """The anonymous memory files this process has open."""
    links = [Path("/proc/self/fd") / number for number in os.listdir("/proc/self/fd")]
    return [link for link in links if link.is_symlink() and "memfd:upload" in os.readlink(link)]


class TestUploads:
    """An upload holds identifiers: it lies in memory, for a while, and nowhere else."""

    def test_it_is_not_in_any_folder(self, ines, book, tmp_path):
        bring(ines)
        for file in tmp_path.rglob("*"):
            assert not file.is_file() or b"PLANTED-1" not in file.read_bytes(), file

    @pytest.mark.skipif(not hasattr(os, "memfd_create"), reason="anonymous memory files are of Linux")
    def test_it_has_no_name_on_any_disk(self, ines):
        from browline.web.readings import held

        bring(ines)
        (upload,) = held.waiting()
        assert "memfd:" in os.readlink(upload.path)

    def test_elsewhere_it_lies_in_an_owner_only_file_and_goes(self, book):
        from browline.web.readings.slots import slot_in_folder

        slot = slot_in_folder(book.jobs)
        slot.write(LARCH)
        assert Path(slot.path).read_bytes() == LARCH
        assert os.stat(slot.path).st_mode & 0o077 == 0
        slot.close()
        assert not Path(slot.path).exists()

    def test_what_a_kill_left_in_the_folder_is_swept(self, book):
        from browline.web.readings.slots import slot_in_folder, sweep_folder

        slot_in_folder(book.jobs).write(LARCH)
        sweep_folder(book.jobs)
        assert not list(book.jobs.glob("upload-*"))

    def test_the_job_inherits_it(self, ines, started):
        address = bring(ines)
        ines.post(address + "take/", as_shown(ines, address))
        (handle,) = started[0]["fds"]
        assert started[0]["path"] == f"/proc/self/fd/{handle}"
        assert Path(started[0]["path"]).read_bytes() == LARCH

    def test_it_can_be_forgotten(self, ines):
        address = bring(ines)
        assert "larch.csv" in text(ines.get("/readings/"))
        ines.post(address + "forget/")
        assert "larch.csv" not in text(ines.get("/readings/"))
        assert ines.get(address).status_code == 404

    def test_it_is_forgotten_after_half_an_hour(self, ines, monkeypatch):
        from datetime import timedelta

        from browline.web.readings import held

        monkeypatch.setattr(held, "KEPT_FOR", timedelta(seconds=0.05))
        address = bring(ines)
        for _ in range(100):
            if not held.waiting():
                break
            __import__("time").sleep(0.02)
        assert ines.get(address).status_code == 404

    def test_forgetting_closes_it(self, ines):
        from browline.web.readings import held

        bring(ines)
        (upload,) = held.waiting()
        held.forget(upload.token)
        with pytest.raises(OSError):
            os.fstat(upload.slot.handle)

    @pytest.mark.skipif(not hasattr(os, "memfd_create"), reason="anonymous memory files are of Linux")
    def test_a_refused_form_leaves_none_open(self, ines):
        ines.post("/choices/", {"files": SimpleUploadedFile("larch.csv", LARCH)})
        assert memory_files() == []


class TestReceipt:
    """What became of every row."""

    def test_it_adds_up(self, ines):
        taken = fenwick_vale.an_import()
        page = text(ines.get(f"/readings/imports/{taken.pk}/"))
        for number in ("4,990", "15", "5", "5,010"):
            assert f'class="n">{number}</td>' in page, number

    def test_reasons_are_sentences_with_row_numbers(self, ines):
        taken = fenwick_vale.an_import()
        page = text(ines.get(f"/readings/imports/{taken.pk}/"))
        assert "For example row 7, 19." in page
        assert "the unit was put right" in page

    def test_what_it_can_and_cannot_answer(self, ines):
        taken = fenwick_vale.an_import(mapping={"columns": {}, "filled": ["time", "value", "ward"]})
        page = text(ines.get(f"/readings/imports/{taken.pk}/"))
        assert "no column says which thermometer was used" in page

    def test_an_import_is_taken_back(self, ines):
        from browline.store.models import Event

        taken = fenwick_vale.an_import()
        page = text(ines.post(f"/readings/imports/{taken.pk}/undo/", follow=True))
        assert "This import was taken back" in page
        assert Event.objects.get(verb="undo-import").actor == "educator"
        assert ines.post(f"/readings/imports/{taken.pk}/undo/").status_code == 404

    def test_a_file_taken_back_can_be_brought_again(self, ines, book):
        from browline.duties.importing import import_file

        (book.folder / "larch.csv").write_bytes(LARCH)
        (number,) = import_file(book, book.folder / "larch.csv", zone="Europe/London").imports
        ines.post(f"/readings/imports/{number}/undo/")
        again = import_file(book, book.folder / "larch.csv", zone="Europe/London")
        assert again.as_json()["files"][0]["taken"] == 2

    def test_a_repair_is_taken_back(self, ines):
        taken = fenwick_vale.an_import()
        page = text(ines.post(f"/readings/imports/{taken.pk}/repairs/unit-put-right/undo/", follow=True))
        assert "This repair was taken back." in page

    def test_a_repair_that_was_not_made_is_refused(self, ines):
        taken = fenwick_vale.an_import()
        assert ines.post(f"/readings/imports/{taken.pk}/repairs/no-such/undo/").status_code == 422

    def test_one_that_is_not_there(self, ines):
        assert ines.get("/readings/imports/9/").status_code == 404

    def test_rows_set_aside_have_number_and_reason(self, ines, book):
        from browline.duties.importing import import_file

        (book.folder / "larch.csv").write_bytes(LARCH)
        (number,) = import_file(book, book.folder / "larch.csv", zone="Europe/London").imports
        page = text(ines.get(f"/readings/imports/{number}/set-aside/"))
        assert "LO (below its range) was charted" in page and ">4</th>" in page
        assert "PLANTED" not in page and "07 Mar 2026 10:10" in page
        answer = ines.get(f"/readings/imports/{number}/set-aside.xlsx")
        sheet = openpyxl.load_workbook(io.BytesIO(answer.content)).active
        headings, row = sheet.iter_rows(values_only=True)
        told = dict(zip(headings, row, strict=True))
        assert (told["row"], told["reason"]) == (4, "reads-lo")


class TestChart:
    """A chart of any instrument, ward or stay."""

    def test_nothing_by_that_name(self, ines):
        page = text(ines.post("/readings/chart/", {"what": "ward", "name": "Oak"}))
        assert "No ward named “Oak” was charted" in page

    def test_an_instrument_by_week_with_its_table(self, ines, monkeypatch):
        fenwick_vale.charts_of_ta07(monkeypatch)
        page = text(ines.get("/readings/chart/?what=instrument&name=TA-07"))
        assert page.count("<svg") == 2, "a wide and a narrow drawing"
        assert "−0.40 °C" in page and "05 Jan 2026" in page

    def test_a_stay_is_found_by_what_the_chart_calls_it(self, ines, book):
        from browline.duties.importing import import_file

        (book.folder / "larch.csv").write_bytes(LARCH)
        import_file(book, book.folder / "larch.csv", zone="Europe/London")
        page = text(ines.post("/readings/chart/", {"what": "stay", "name": "V1"}))
        assert "2 readings from 07 Mar 2026 10:00 to 07 Mar 2026 14:05" in page
        assert "V1" not in page.replace("V1,", ""), "what she typed is not said back"

    def test_a_stay_stays_out_of_the_address(self, ines):
        assert 'method="post" action="/readings/chart/"' in text(ines.get("/readings/chart/"))
