"""What only a person can say about a file: asked on a terminal with nothing chosen, refused in words elsewhere."""

import os
import subprocess
import sys

import pytest

from browline.cli.main import main

pty = pytest.importorskip("pty")  # a terminal of its own: not on Windows

OPEN = "stay,time,value\nV1,03/05/2026 06:00,36.6\nV2,04/05/2026 06:00,36.7\n"


@pytest.fixture
def chart(tmp_path):
    path = tmp_path / "open.csv"
    path.write_text(OPEN)
    return path


def months():
    from browline.store.models import Import

    return [(i.first.month, i.last.month) for i in Import.objects.all()]


def test_without_a_terminal_it_is_refused_and_the_option_named(book, chart, capsys):
    assert main(["import", str(chart), "--book", str(book.folder)]) == 3
    said = capsys.readouterr().err
    assert "--date-order dmy or --date-order mdy" in said and "open.csv" in said
    assert months() == []


def test_the_option_answers(book, chart):
    assert main(["import", str(chart), "--book", str(book.folder), "--date-order", "dmy"]) == 0
    assert months() == [(5, 5)]


def test_a_file_that_is_here_in_one_order_does_not_come_in_again_in_another(book, chart, capsys):
    one, other = (
        [*("import", str(chart), "--book", str(book.folder), "--date-order"), o] for o in ("mdy", "dmy")
    )
    assert main(one) == 0 and main(one) == 0
    assert main(other) == 3
    said = capsys.readouterr().err
    assert "read as month, day, year" in said and "a second time" in said and "Take that import back" in said
    assert months() == [(3, 4)]


def test_taken_back_it_comes_in_in_the_other_order(book, chart):
    from browline.services.imports.undo import undo_import
    from browline.store.models import Import

    assert main(["import", str(chart), "--book", str(book.folder), "--date-order", "mdy"]) == 0
    undo_import(Import.objects.get().pk, "educator")
    assert main(["import", str(chart), "--book", str(book.folder), "--date-order", "dmy"]) == 0
    assert sorted(months()) == [(3, 4), (5, 5)]


def test_an_unknown_order_is_not_understood(book, chart, capsys):
    assert main(["import", str(chart), "--book", str(book.folder), "--date-order", "ydm"]) == 2
    assert "day, month, year" in capsys.readouterr().err


def typed(book, chart, answer):
    """Import at a terminal with this answer typed; exit status and what stood on the screen."""
    ours, theirs = pty.openpty()
    code = "import sys; from browline.cli.main import main; sys.exit(main(sys.argv[1:]))"
    command = [sys.executable, "-c", code, "import", str(chart), "--book", str(book.folder)]
    process = subprocess.Popen(command, stdin=theirs, stderr=theirs, stdout=subprocess.DEVNULL)
    os.close(theirs)
    os.write(ours, answer.encode() + b"\n")
    screen = b""
    while True:
        try:
            screen += (part := os.read(ours, 4096))
        except OSError:
            break
        if not part:
            break
    return process.wait(120), screen.decode()


@pytest.mark.parametrize(("answer", "month"), [("dmy", (5, 5)), ("2", (3, 4))])
def test_a_terminal_asks_as_the_page_does(book, chart, answer, month):
    status, screen = typed(book, chart, answer)
    assert status == 0 and "day, month, year (dmy)" in screen and "month, day, year (mdy)" in screen
    assert months() == [month]


def test_enter_alone_chooses_nothing(book, chart):
    status, screen = typed(book, chart, "")
    assert status == 3 and "Which order" in screen and months() == []


SLIPPED = "stay,time,Temp (C)\n" + "".join(
    f"V{i},2026-03-07 06:{i:02d},{97.0 if i % 5 == 0 else 36.6}\n" for i in range(50)
)


def test_a_file_that_was_mended_too_often_is_refused_with_its_picture_and_goes_on_when_she_says_so(
    book, chart, capsys
):
    chart.write_text(SLIPPED)
    assert main(["import", str(chart), "--book", str(book.folder)]) == 3
    said = capsys.readouterr().err
    assert "10 of 50 values" in said and "36 to 37 °C: 50" in said and "--these-are-people" in said
    assert main(["import", str(chart), "--book", str(book.folder), "--these-are-people"]) == 0


def test_the_terminal_asks_about_it_too(book, chart):
    chart.write_text(SLIPPED)
    status, screen = typed(book, chart, "yes")
    assert status == 0 and "these are people's temperatures, go on (yes)" in screen and months() == [(3, 3)]
