"""What became of every row of a file, and charts of what was charted."""

import io
import re
from datetime import UTC, datetime

import fenwick_vale
import openpyxl
from bringing import LARCH, text


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
        from browline.services.imports.run import import_file

        (book.folder / "larch.csv").write_bytes(LARCH)
        (number,) = import_file(book, book.folder / "larch.csv", zone="Europe/London").imports
        ines.post(f"/readings/imports/{number}/undo/")
        again = import_file(book, book.folder / "larch.csv", zone="Europe/London")
        assert again.as_json()["files"][0]["taken"] == 2

    def test_a_repair_is_taken_back(self, ines):
        taken = fenwick_vale.an_import()
        page = text(ines.post(f"/readings/imports/{taken.pk}/repairs/unit-put-right/undo/", follow=True))
        assert "This repair was taken back: its rows do not count now." in page
        page = text(ines.post(f"/readings/imports/{taken.pk}/repairs/unit-put-right/restore/", follow=True))
        assert "taken back" not in page and "Take this repair back" in page

    def test_a_repair_that_was_not_made_is_refused(self, ines):
        taken = fenwick_vale.an_import()
        assert ines.post(f"/readings/imports/{taken.pk}/repairs/no-such/undo/").status_code == 422

    def test_one_that_is_not_there(self, ines):
        assert ines.get("/readings/imports/9/").status_code == 404

    def test_rows_set_aside_have_number_and_reason(self, ines, book):
        from browline.services.imports.run import import_file

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
        fenwick_vale.charts_of_fs07(monkeypatch)
        page = text(ines.get("/readings/chart/?what=instrument&name=FS-07"))
        assert page.count("<svg") == 2, "a wide and a narrow drawing"
        assert "−0.40 °C" in page and "05 Jan 2026" in page

    def test_a_stay_is_found_by_what_the_chart_calls_it(self, ines, book):
        from browline.services.imports.run import import_file

        (book.folder / "larch.csv").write_bytes(LARCH)
        import_file(book, book.folder / "larch.csv", zone="Europe/London")
        page = text(ines.post("/readings/chart/", {"what": "stay", "name": "V1"}))
        assert "2 readings from 07 Mar 2026 10:00 to 07 Mar 2026 14:05" in page
        said = re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", page)  # a random string may hold V1
        assert "V1" not in said.replace("V1,", ""), "what she typed is not said back"

    def test_a_stay_stays_out_of_the_address(self, ines):
        assert 'method="post" action="/readings/chart/"' in text(ines.get("/readings/chart/"))


def test_a_receipt_whose_dates_may_be_wrong_says_so_until_she_has_looked(ines):
    columns = {"columns": {"time": "Obs time", "value": "Temp"}, "filled": []}
    when = datetime(2026, 3, 5, 6, tzinfo=UTC)
    fenwick_vale.an_import(mapping=columns, first=when, last=when)
    doubted = fenwick_vale.an_import(mapping=columns, first=when, last=when)
    assert "Look at these dates again" in text(ines.get("/readings/"))
    assert "If 3 May reads as 5 March here" in text(ines.get(f"/readings/imports/{doubted.pk}/"))
    answer = ines.post(f"/readings/imports/{doubted.pk}/dates-are-right/", follow=True)
    assert "the dates of this import are right" in text(answer) and "Look at the dates" not in text(answer)
    assert "Look at these dates again" not in text(ines.get("/readings/"))
