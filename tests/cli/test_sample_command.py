"""`browline sample` as a shell sees it."""

import csv
import re

import pytest

from browline.cli.main import app, main

LOOK_FOR = "Decide first what you look for"
EXAMPLE = "for example: value, time and site agree with the bedside record"
IMPORT = r"import \d+: CSV [0-9a-f]{6}, imported \d{4}-\d\d-\d\d, 60 rows taken"

CHART = "stay,time,value,site,ward\n" + "".join(
    f"V{i % 9},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{36 + i % 15 / 10},Oral,=5 West\n"
    for i in range(60)
)


@pytest.fixture
def charts(book, export, capsys):
    assert main(["import", str(export(CHART)), "--book", str(book.folder)]) == 0
    capsys.readouterr()
    return str(book.folder)


def test_a_list_is_printed_with_its_seed_and_its_stand_ins(charts, capsys):
    assert main(["sample", "--book", charts, "--count", "12", "--seed", "4"]) == 0
    said = capsys.readouterr().out
    assert "12 of 60 charted readings, and 2 stand-ins; seed 4." in said
    assert said.count("look at") == 12 and said.count("  stand-in") == 2
    assert "--of 12 --population 60" in said
    main(["sample", "--book", charts, "--count", "12", "--seed", "4"])
    assert capsys.readouterr().out == said


def test_a_list_goes_into_a_file_that_a_spreadsheet_opens_safely(charts, capsys, tmp_path):
    target = tmp_path / "list.csv"
    assert main(["sample", "--book", charts, "--precision", "0.2", "--csv", str(target)]) == 0
    with target.open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert sum(r["list"] == "look at" for r in rows) == 16  # 20.2 for ±0.2 at one half; 60 in all
    *place, met = rows[0]
    assert place == ["number", "list", "import", "row", "time", "ward"]
    assert met.startswith("met") and f"{LOOK_FOR}, {EXAMPLE}" in met
    assert all(re.fullmatch(IMPORT, r["import"]) for r in rows)
    assert [int(r["number"]) for r in rows] == list(range(1, len(rows) + 1))
    assert {r["ward"] for r in rows} == {"'=5 West"} and {r[met] for r in rows} == {""}
    assert "look at" not in capsys.readouterr().out


def test_a_result_is_told_with_its_interval(capsys):
    """Practice, section 9: 27 of 30 reads 74 to 97 %."""
    assert main(["sample", "--found", "27", "--of", "30"]) == 0
    assert "between 74 % and 97 %" in capsys.readouterr().out


def test_where_all_were_looked_at_no_interval_is_told(capsys):
    assert main(["sample", "--found", "27", "--of", "30", "--population", "30"]) == 0
    said = capsys.readouterr().out
    assert "all were looked at: 90 %, no interval is needed for these" in said
    assert "95 %" not in said and "between" not in said


def test_the_print_says_what_to_look_for_and_which_import_a_row_is_in(charts, capsys):
    main(["sample", "--book", charts, "--count", "12", "--seed", "4"])
    said = capsys.readouterr().out
    assert f"{LOOK_FOR}, {EXAMPLE}" in said
    assert re.search(rf"^  {IMPORT}$", said, re.MULTILINE) and "names of files are not kept" in said


@pytest.mark.parametrize("how_many", [["--count", "60"], ["--count", "90"], ["--precision", "0.001"]])
def test_a_list_of_every_reading_is_said_to_be_that(charts, how_many, capsys):
    main(["sample", "--book", charts, "--ward", "=5 West", *how_many])
    said = capsys.readouterr().out
    assert "All 60 readings of this ward are listed; the result will be exact for them" in said
    assert "between" not in said and said.count("look at ") == 60 and "  stand-in" not in said
    assert "--of 60 --population 60" in said
    main(["sample", "--book", charts, *how_many])
    assert "All 60 readings asked for are listed" in capsys.readouterr().out


def test_what_stand_ins_are_for_is_said(book, export, capsys):
    """Ten wards of six: twelve charts by ward leave at least two stand-ins on each."""
    chart = re.sub("=5 West", lambda _: "Ward", CHART).splitlines()
    lines = [chart[0], *(f"{line} {i // 6}" for i, line in enumerate(chart[1:]))]
    main(["import", str(export("\n".join(lines))), "--book", str(book.folder)])
    capsys.readouterr()
    main(["sample", "--book", str(book.folder), "--count", "12", "--by-ward"])
    said = capsys.readouterr().out
    assert "and 20 stand-ins" in said and "at least 2 a ward" in said
    assert "used in the order listed" in said and "cannot be found" in said
    main(["sample", "--book", str(book.folder), "--count", "12"])
    said = capsys.readouterr().out
    assert "and 2 stand-ins" in said and "at least 2 " in said and "a ward" not in said


DRAWING = [
    ["--book", "here"],
    ["--precision", "0.1"],
    ["--expected", "0.5"],
    ["--count", "10"],
    ["--ward", "=5 West"],
    ["--by-ward"],
    ["--since", "2026-03-01"],
    ["--until", "2026-03-01"],
    ["--seed", "4"],
    ["--csv", "list.csv"],
]


@pytest.mark.parametrize("option", DRAWING, ids=lambda option: option[0])
def test_options_of_drawing_do_not_pass_silently_beside_a_result(option, capsys):
    """Every option is one or the other: whoever adds one has to say which."""
    assert main(["sample", "--found", "27", "--of", "30", *option]) == 2
    captured = capsys.readouterr()
    assert f"{option[0]}." in captured.err and "27 of 30" not in captured.out
    known = {n for a in app["sample"].assemble_argument_collection() for n in a.names if n.startswith("--")}
    of_drawing = {name for name, *_ in DRAWING} | {"--no-by-ward"}
    assert known - of_drawing == {"--found", "--of", "--population"}


@pytest.mark.parametrize(
    "asked",
    [
        ["--precision", "0"],
        ["--precision", "5"],
        ["--expected", "50"],
        ["--count", "0"],
        ["--count", "10", "--precision", "0.1"],
        ["--seed", "-1"],
        ["--since", "yesterday"],
        ["--ward", "6 East"],
    ],
)
def test_a_request_not_understood_ends_with_2(charts, asked, capsys):
    assert main(["sample", "--book", charts, *asked]) == 2
    said = capsys.readouterr().err
    assert "browline:" in said and "Mend it" not in said
    assert re.search(r"(Write for example --|Keep --count|Write the name)", said)


@pytest.mark.parametrize(
    "asked",
    [
        ["--found", "27"],
        ["--of", "30"],
        ["--population", "30"],
        ["--found", "31", "--of", "30"],
        ["--found", "3", "--of", "30", "--population", "20"],
        ["--found", "0", "--of", "0"],
    ],
)
def test_a_result_that_makes_no_sense_ends_with_2(asked, capsys):
    assert main(["sample", *asked]) == 2
    assert "browline: The result was not understood." in capsys.readouterr().err
