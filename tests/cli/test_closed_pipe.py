"""A command whose reader has left, as in ``browline import ... | head``: quiet, and with its usual status."""

import subprocess
import sys

import pytest

CHART = "stay,time,value,site,ward\n" + "".join(
    f"V{i % 9},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{36 + i % 15 / 10},Oral,5 West\n"
    for i in range(60)
)
RUN = "import sys; from browline.cli.main import main; sys.exit(main(sys.argv[1:]))"


@pytest.fixture
def unread():
    """Run a command whose output nobody reads; returns its status and what it said on the other stream."""

    def run(*arguments, stream="stdout", buffered=True):
        other = {"stdout": "stderr", "stderr": "stdout"}[stream]
        started = subprocess.Popen(
            [sys.executable, *([] if buffered else ["-u"]), "-c", RUN, *map(str, arguments)],
            **{stream: subprocess.PIPE, other: subprocess.PIPE},
            text=True,
        )
        getattr(started, stream).close()
        said = getattr(started, other).read()
        getattr(started, other).close()
        return started.wait(timeout=60), said

    return run


@pytest.mark.parametrize("buffered", [True, False])
def test_an_import_whose_receipt_nobody_reads_is_done(book, export, unread, tmp_path, buffered):
    receipt = tmp_path / "receipt.json"
    asked = ["import", export(CHART), "--book", book.folder, "--json", receipt]
    status, said = unread(*asked, buffered=buffered)
    assert status == 0 and "Error" not in said and "Exception" not in said, said
    assert '"taken": 60' in receipt.read_text()  # written after the print that nobody read


def test_more_lines_than_a_pipe_holds_end_quietly(book, export, unread):
    from browline.cli.main import main

    lines = [f"V{i},2026-03-{i % 28 + 1:02d} {i % 24:02d}:00,36.{i % 10}" for i in range(4000)]
    main(["import", str(export("\n".join(["stay,time,value", *lines]))), "--book", str(book.folder)])
    assert unread("sample", "--book", book.folder, "--count", 4000) == (0, "")


def test_help_that_nobody_reads_ends_quietly(unread):
    assert unread("--help") == (0, "")


@pytest.mark.parametrize(("asked", "status"), [(["reveiw"], 2), (["import", "absent.csv"], 3)])
def test_a_refusal_that_nobody_reads_keeps_its_status(unread, asked, status):
    assert unread(*asked, stream="stderr") == (status, "")
