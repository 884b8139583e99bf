"""The sheet to sign and the sheet for a round: what is known is printed, the rest are lines to write on."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from pypdf import PdfReader

from browline.paper import write_round_sheet, write_sign_in_sheet
from browline.paper.hand_out import CAUTION
from browline.paper.round_sheet import round_laid_out
from browline.paper.sign_in_sheet import sign_in_laid_out
from browline.services.materials.handouts import Expected, RoundLine, RoundSheet, SignInSheet

NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
HOSTILE = '#pagebreak() = "x" *bold* $x$'
ADDRESS = "http://192.0.2.7:8765/here/KX49/"
SIGN_IN = SignInSheet(
    made=NOW, ward="Larch", time=datetime(2026, 11, 27, 19, 40, tzinfo=UTC), minutes=20, educator="Ines Quill",
    code="KX49", address=ADDRESS, hospital="Fenwick Vale",
    expected=(Expected("Ada Brook", "nurse", "night"), Expected("Tom Ash")),
)  # fmt: skip
ROUND = RoundSheet(
    NOW, "Larch",
    (RoundLine("FS-07", "Larch", "oral-equivalent", "C", date(2026, 12, 1)), RoundLine("FS-08")),
    "Fenwick Vale",
)  # fmt: skip


def read(path):
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_session_fits_one_page_and_says_that_attendance_is_not_competence(paper, tmp_path):
    (page,) = read(write_sign_in_sheet(replace(SIGN_IN, paper=paper), tmp_path / "s.pdf"))
    for words in (
        "Larch", "27 Nov 2026 19:40, 20 min", "Ines Quill", "KX49", ADDRESS, "Ada Brook", "nurse, night", "Tom Ash",
        "Attendance is not competence", "Initials", CAUTION,
    ):  # fmt: skip
        assert words in page, words


def test_there_are_lines_for_those_whom_nobody_expected():
    assert sign_in_laid_out(SIGN_IN)["lines"] == 18
    many = replace(SIGN_IN, expected=tuple(Expected(f"Person {n}") for n in range(40)))
    assert sign_in_laid_out(many)["lines"] == 8


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("expected", [0, 9, 12, 13, 16, 24])
def test_the_caution_never_stands_alone_on_a_page(paper, expected, tmp_path):
    import segno

    names = tuple(Expected(f"Person {n:02d}", "Registered nurse", "night shift") for n in range(expected))
    sheet = replace(SIGN_IN, paper=paper, qr=segno.make(ADDRESS).svg_inline(), expected=names)
    pages = read(write_sign_in_sheet(sheet, tmp_path / "s.pdf"))
    assert all("Name, in capitals" in page for page in pages)
    assert len(pages) == (1 if expected <= 13 else 2)


def test_a_long_list_runs_on_with_its_headings_repeated(tmp_path):
    many = replace(SIGN_IN, expected=tuple(Expected(f"Person {n:02d}") for n in range(40)))
    pages = read(write_sign_in_sheet(many, tmp_path / "s.pdf"))
    assert len(pages) == 2 and all("Name, in capitals" in page for page in pages)
    assert all(f"Person {n:02d}" in " ".join(pages) for n in range(40))


def test_a_blank_sheet_has_neither_code_nor_names(tmp_path):
    (page,) = read(write_sign_in_sheet(SignInSheet(NOW), tmp_path / "s.pdf"))
    assert "By phone" not in page and "Ward" in page and "Educator" in page


def test_the_square_code_is_drawn_with_words_for_those_who_cannot_see_it(tmp_path):
    import segno

    picture = segno.make(ADDRESS).svg_inline()
    path = write_sign_in_sheet(replace(SIGN_IN, qr=picture), tmp_path / "s.pdf")
    assert len(read(path)) == 1
    assert f"Square code of the address {ADDRESS}" in _alts(path)


def _alts(path):
    found, waiting = [], [PdfReader(path).trailer["/Root"]["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop().get_object()
        if isinstance(node, list):
            waiting += node
        elif isinstance(node, dict):
            found += [node["/Alt"]] if "/Alt" in node else []
            waiting += [node["/K"]] if "/K" in node else []
    return found


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_round_asks_what_a_sighting_holds(paper, tmp_path):
    (page,) = read(write_round_sheet(replace(ROUND, paper=paper), tmp_path / "r.pdf"))
    for words in (
        "FS-07", "FS-08", "lens due 01 Dec 2026", "register: oral-", "register: °C", "register: not said",
        "present in use not found", "clean cleaned dirty", "ok low dead new", "Listed here: 2", "it stays in the count",
        CAUTION,
    ):  # fmt: skip
        assert words in page, words
    assert page.index("bring a spare") < page.index("tag it") < page.index("send it for a check")


def test_a_round_has_lines_for_instruments_found_besides():
    assert round_laid_out(ROUND)["lines"] == 12
    assert round_laid_out(replace(ROUND, lines=ROUND.lines * 10))["lines"] == 4


@pytest.mark.parametrize("write, sheet", [(write_sign_in_sheet, SIGN_IN), (write_round_sheet, ROUND)])
def test_a_sheet_is_tagged_and_what_is_typed_never_becomes_markup(write, sheet, tmp_path):
    path = write(replace(sheet, ward=HOSTILE, hospital=HOSTILE), tmp_path / "s.pdf")
    assert " ".join(read(path)).count(HOSTILE) >= 2
    root = PdfReader(path).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data().decode()
