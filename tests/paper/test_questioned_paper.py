"""What questioned readings taught on one side, and the sheet to log them by hand: whole, tagged, on A4 and Letter."""

from datetime import UTC, date, datetime

import pytest
from pypdf import PdfReader

from browline.instruments import Basis, Questioned, pareto, recurring
from browline.instruments.questioned import CAUSES, DEEDS
from browline.instruments.recurring import ADVICE, Outcome
from browline.instruments.recurring_text import CANNOT_SAY, REFUSAL, REFUSAL_SOURCE
from browline.paper import write_questioned_learning, write_questioned_log_sheet
from browline.paper.hand_out import CAUTION
from browline.services.questioned.learning import Ask, Learned

NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
FLEET = tuple(f"FS-{n:02d}" for n in range(1, 21))
NOT_THE_RECORD = "Chart every reading with its site in the patient record; this is not the record."


def told(causes, counts, asks=()):
    return Learned(
        first=date(2025, 12, 1),
        last=date(2026, 11, 25),
        lines=sum(causes.values()),
        taken_back=2,
        causes=pareto(causes),
        wards=(),
        elsewhere=0,
        done={"escalated": 11, "waited": 30},
        instruments=recurring(Questioned(counts, dict.fromkeys(FLEET, 1.0), Basis.READINGS)),
        asks=asks,
    )


def ask(name):
    return Ask(
        name, "Questioned 9 times in 13 weeks.", "Causes found with it: lens dirty.", ADVICE[Outcome.RECURS]
    )


MANY = told(
    dict(zip(CAUSES, (20, 9, 8, 7, 6, 5, 4, 3, 3, 3, 2, 1), strict=True)), {"FS-07": 9}, (ask("FS-07"),)
)


def read(path):
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def learning(found, path, paper="a4"):
    return write_questioned_learning(found, path, hospital="Fenwick Vale", paper=paper, created=NOW)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_one_side_says_causes_instruments_the_refusal_and_what_cannot_be_said(book, tmp_path, paper):
    (page,) = read(learning(MANY, tmp_path / "l.pdf", paper))
    for words in (
        "71 lines of the log, 01 Dec 2025 to 25 Nov 2026; 2 taken back", "damp or sweating", "20 of 71",
        "others, fewer than 3 lines each", "FS-07", "Bring a spare, tag it, send it for a check.", "escalated 11",
        REFUSAL, REFUSAL_SOURCE, *CANNOT_SAY, CAUTION,
    ):  # fmt: skip
        assert words in page, words
    assert "fail" not in page.lower()


def test_the_chart_is_told_in_words_and_the_file_is_tagged_and_archivable(book, tmp_path):
    path = learning(MANY, tmp_path / "l.pdf")
    root = PdfReader(path).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    assert "The first three together: 52.1 % of lines." in _alts(path)


def _alts(path):
    reader = PdfReader(path)
    objects = (reader.get_object(n + 1) for n in range(len(reader.xref[0])))
    return " ".join(str(o["/Alt"]) for o in objects if isinstance(o, dict) and "/Alt" in o)


def test_with_few_lines_nothing_is_drawn_and_the_refusal_stands_all_the_same(book, tmp_path):
    (page,) = read(learning(told({"damp": 4}, {"FS-07": 1}), tmp_path / "l.pdf"))
    assert "Fewer than 10 lines" in page and "Too few to tell" in page and REFUSAL in page
    assert "Causes, commonest first" not in page


def test_many_instruments_to_check_stay_on_one_side_and_the_rest_is_said(book, tmp_path):
    many = told({"lens": 40}, {"FS-07": 9}, tuple(ask(name) for name in FLEET[:9]))
    (page,) = read(learning(many, tmp_path / "l.pdf"))
    assert "FS-06" in page and "FS-07." not in page and "3 more stand on the page." in page


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_log_by_hand_is_one_sheet_with_every_word_of_the_lists_twice(tmp_path, paper):
    path = write_questioned_log_sheet(tmp_path / "b.pdf", hospital="Fenwick Vale", paper=paper, created=NOW)
    (page,) = read(path)
    assert NOT_THE_RECORD in page and CAUTION in page
    for words in (*CAUSES.values(), *DEEDS.values(), "night", "under 3 months"):
        assert page.replace("- ", "-").count(words) >= 2, words
    assert "Name" not in page.replace("No name", "")
