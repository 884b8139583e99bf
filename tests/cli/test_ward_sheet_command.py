"""`browline ward-sheet` as a shell sees it."""

import pytest
from pypdf import PdfReader

from browline.cli.main import main

CHART = "stay,time,value,site,ward\n" + "".join(
    f"V{i % 9},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{36 + i % 15 / 10},Oral,{('Elm', 'Yew')[i > 55]}\n"
    for i in range(60)
)


@pytest.fixture
def charts(book, export, capsys):
    assert main(["import", str(export(CHART)), "--book", str(book.folder)]) == 0
    capsys.readouterr()
    return str(book.folder)


def test_a_sheet_is_written_after_a_review(charts, capsys, tmp_path):
    target = tmp_path / "sheet.pdf"
    assert main(["ward-sheet", "Elm", "--pdf", str(target), "--book", charts]) == 2
    assert "Run a review first" in capsys.readouterr().err and not target.exists()
    assert main(["review", "--book", charts]) == 0
    capsys.readouterr()
    assert main(["ward-sheet", "Elm", "--pdf", str(target), "--book", charts]) == 0
    assert "One good thing: " in capsys.readouterr().out
    assert "Elm: how our temperatures are charted" in PdfReader(target).pages[0].extract_text()


def test_wards_unknown_or_of_few_readings_are_refused(charts, capsys, tmp_path):
    main(["review", "--book", charts])
    capsys.readouterr()
    assert main(["ward-sheet", "Ash", "--pdf", str(tmp_path / "s.pdf"), "--book", charts]) == 2
    assert "It knows Elm, Yew." in capsys.readouterr().err
    assert main(["ward-sheet", "Yew", "--pdf", str(tmp_path / "s.pdf"), "--book", charts]) == 3
    assert "fewer than 10 readings" in capsys.readouterr().err


def test_a_folder_that_is_not_there_is_refused_before_any_work(charts, capsys, tmp_path):
    assert main(["ward-sheet", "Elm", "--pdf", str(tmp_path / "no" / "s.pdf"), "--book", charts]) == 2
    assert "There is no folder" in capsys.readouterr().err
