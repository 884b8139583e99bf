"""The commands as a shell sees them: light to ask for help, exit statuses, JSON, nothing half-done."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from browline.cli.main import app, main

HEAVY = ("numpy", "scipy", "django", "duckdb", "altair", "typst", "rich.progress")
CHART = "stay,time,value,site,ward\n" + "".join(
    f"V{i % 9},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{36 + i % 15 / 10},Oral,5 West\n"
    for i in range(60)
)


def test_help_imports_nothing_heavy():
    ask = "import sys; from browline.cli.main import main; main(['--help'])"
    code = f"{ask}; assert not set({HEAVY}) & set(sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    for command in ("demo", "import", "review", "sample", "open"):
        assert command in done.stdout


def test_a_request_not_understood_ends_with_2(book, capsys):
    assert main(["reveiw"]) == 2
    assert main(["import", "--book", str(book.folder)]) == 2
    assert main(["review", "--book", str(book.folder), "--since", "yesterday"]) == 2


def test_a_refused_input_ends_with_3_and_says_why(book, export, capsys):
    assert main(["import", str(export("a,b\n1,2\n")), "--book", str(book.folder)]) == 3
    assert "browline:" in capsys.readouterr().err
    assert main(["import", str(export("").with_name("absent.csv")), "--book", str(book.folder)]) == 3


def test_an_import_prints_its_receipt_and_writes_it_as_json(book, export, capsys, tmp_path):
    target = tmp_path / "receipt.json"
    assert main(["import", str(export(CHART)), "--book", str(book.folder), "--json", str(target)]) == 0
    said = capsys.readouterr().out
    assert "60 rows = 60 taken + 0 already here or sent twice + 0 set aside" in said
    receipt = json.loads(target.read_text())
    assert receipt["format"] == "browline-receipt/1"
    assert receipt["files"][0]["taken"] == 60


def test_json_to_standard_output_is_nothing_but_json(book, export, capsys):
    main(["import", str(export(CHART)), "--book", str(book.folder), "--json", "-"])
    assert json.loads(capsys.readouterr().out)["files"][0]["rows"] == 60
    assert main(["review", "--book", str(book.folder), "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out)["format"] == "browline-review/1"


def test_show_map_takes_nothing_and_its_text_can_be_given_back(book, export, capsys, tmp_path):
    path = export(CHART)
    assert main(["import", str(path), "--book", str(book.folder), "--show-map"]) == 0
    mapping = tmp_path / "map.toml"
    mapping.write_text(capsys.readouterr().out)
    assert list(book.readings.iterdir()) == []
    assert main(["import", str(path), "--book", str(book.folder), "--map", str(mapping)]) == 0


def test_reports_are_written_where_asked(book, export, tmp_path, capsys):
    main(["import", str(export(CHART)), "--book", str(book.folder)])
    pdf, html = tmp_path / "r.pdf", tmp_path / "r.html"
    assert main(["review", "--book", str(book.folder), "--pdf", str(pdf), "--html", str(html)]) == 0
    assert pdf.read_bytes().startswith(b"%PDF")
    assert "<html" in html.read_text()


def test_the_request_to_the_data_team_names_the_missing_columns(book, export, tmp_path, capsys):
    page = tmp_path / "request.html"
    assert main(["import", str(export(CHART)), "--book", str(book.folder), "--request", str(page)]) == 0
    assert "thermometer" in page.read_text()


def test_a_folder_where_a_file_is_written_is_refused_in_words(book, capsys, tmp_path):
    own, at = ["--book", str(book.folder)], str(tmp_path)
    for asked in (
        ["plan", "--pdf", at],
        ["plan", "--ics", at],
        ["plan", "--json", at],
        ["hand-out", "poster", "--pdf", at],
        ["coverage", "--json", at],
        ["instruments", "--json", at],
        ["review", "--json", at],
        ["review", "--html", at],
        ["sample", "--csv", at],
        ["ward-sheet", "Larch", "--pdf", at],
    ):
        assert main([*asked, *own]) == 2, asked
        assert f"{at} is a folder. What is written is a file." in capsys.readouterr().err, asked


DOCS = Path(__file__).parents[2] / "docs"


COMMANDS = sorted(name for name in app if not name.startswith("-"))
SECTION = (DOCS / "reference.md").read_text().split("## Commands\n")[1].split("\n## ")[0]
# What stands under the heading of each command: its sentence and the table of its options.
OPTIONS = {
    re.match(r"[a-z-]+", part)[0]: part.split("<!-- end -->")[0]
    for part in SECTION.split("### `browline ")[1:]
}


def named(argument):
    """What the table may call an argument: one of its names, or capitals where it is given by place."""
    by_place = argument.field_info.kind.name != "KEYWORD_ONLY"
    return {name for name in argument.names if name.startswith("--") or name.isupper()} | (
        {argument.field_info.name.upper()} if by_place else set()
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_in_the_guide_and_the_reference(command):
    for page in ("guide.md", "reference.md"):
        assert f"browline {command}" in (DOCS / page).read_text(), page


@pytest.mark.parametrize("command", COMMANDS)
def test_every_option_of_a_command_has_its_own_row_in_the_reference(command):
    told = re.findall(r"^\| `(--[a-z][a-z-]*|[A-Z]+)", OPTIONS[command], re.MULTILINE)
    arguments = list(app[command].assemble_argument_collection())
    assert [a.names for a in arguments if len(named(a) & set(told)) != 1] == []
    assert len(told) == len(arguments)


def test_the_reference_has_no_command_and_no_option_that_is_not_there():
    assert sorted(OPTIONS) == COMMANDS
    known = {c: {name for a in app[c].assemble_argument_collection() for name in a.names} for c in COMMANDS}
    for command, text in OPTIONS.items():
        assert set(re.findall(r"--[a-z][a-z-]*", text)) - known[command] == set(), command
    for line in re.findall(r"^- `browline .*", SECTION, re.MULTILINE):
        command = re.match(r"- `browline ([a-z-]+)", line)[1]
        assert set(re.findall(r"--[a-z][a-z-]*", line)) - known[command] == set(), command
