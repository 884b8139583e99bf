"""Reports, and the page for the data team."""

import fenwick_vale
import pytest


def text(answer):
    return " ".join(answer.content.decode().split())


def test_without_a_review_there_is_nothing_to_report(ines):
    assert "a report needs a review" in text(ines.get("/reports/"))


def test_a_report_is_asked_for_as_a_job(ines, monkeypatch):
    from browline.services.book import jobs
    from browline.store.models import Job

    asked = []

    def start(book, verb, arguments, fds=()):
        asked.append((verb, arguments))
        return Job.objects.create(verb=verb)

    monkeypatch.setattr(jobs, "start", start)
    fenwick_vale.a_review()
    answer = ines.post("/reports/make/", {"formats": ["pdf", "json"], "paper": "us-letter"})
    assert answer["Location"] == "/under-way/1/"
    assert asked == [("report", {"formats": ["pdf", "json"], "paper": "us-letter", "actor": "educator"})]


@pytest.mark.parametrize(
    "wrong",
    [
        {"formats": [], "paper": "a4"},
        {"formats": ["docx"], "paper": "a4"},
        {"formats": ["pdf"], "paper": "a3"},
    ],
)
def test_what_cannot_be_made_is_refused(ines, wrong):
    fenwick_vale.a_review()
    assert ines.post("/reports/make/", wrong).status_code == 422


def test_the_paper_in_force_is_chosen_already(ines):
    from browline.services.book.change_preference import set_choice

    fenwick_vale.a_review()
    set_choice("paper", "us-letter", "ines")
    letter = text(ines.get("/reports/")).split('value="us-letter"')[1].split(">")[0]
    assert "checked" in letter


def test_reports_are_listed_and_handed_out_as_files(ines, book):
    (book.reports / "review-1.html").write_text("<script>alert(1)</script>")
    assert "review-1.html" in text(ines.get("/reports/"))
    answer = ines.get("/reports/file/review-1.html")
    assert answer["Content-Disposition"].startswith("attachment")
    assert b"".join(answer.streaming_content) == b"<script>alert(1)</script>"


@pytest.mark.parametrize("name", ["..%2Fbook.sqlite3", "%2e%2e/book.sqlite3", "nosuch.pdf", "..", ".hidden"])
def test_nothing_else_is_handed_out(ines, book, name):
    (book.reports / ".hidden").write_text("half written")
    assert ines.get(f"/reports/file/{name}").status_code == 404


def test_the_request_of_an_empty_book_asks_for_everything(ines):
    page = text(ines.get("/reports/request/"))
    for column in ("instrument", "stay", "site", "ward"):
        assert f"<strong>{column}</strong>" in page


def test_the_request_asks_for_what_is_missing(ines):
    fenwick_vale.an_import(mapping={"columns": {}, "filled": ["time", "value", "ward", "instrument"]})
    page = text(ines.get("/reports/request/"))
    assert "<strong>stay</strong>" in page
    assert "<strong>instrument</strong>" not in page and "<strong>ward</strong>" not in page


def test_the_request_asks_for_no_names(ines):
    assert "Please leave out names, dates of birth" in text(ines.get("/reports/request/"))
