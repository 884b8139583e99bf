"""`browline sample` as a shell sees it."""

import csv

import pytest

from browline.cli.main import main

CHART = "stay,time,value,site,ward\n" + "".join(
    f"V{i % 9},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{36 + i % 15 / 10},Oral,=5 West\n"
    for i in range(60)
)


@pytest.fixture
def charts(book, export, capsys):
    assert main(["import", str(export(CHART)), "--book", str(book.folder)]) == 0
    capsys.readouterr()
    return str(book.folder)


def test_a_list_is_printed_with_its_seed_and_its_spares(charts, capsys):
    assert main(["sample", "--book", charts, "--count", "12", "--seed", "4"]) == 0
    said = capsys.readouterr().out
    assert "12 of 60 charted readings, and 2 spares; seed 4." in said
    assert said.count("look at") == 12 and said.count("  spare") == 2
    assert "--of 12 --population 60" in said
    main(["sample", "--book", charts, "--count", "12", "--seed", "4"])
    assert capsys.readouterr().out == said


def test_a_list_goes_into_a_file_that_a_spreadsheet_opens_safely(charts, capsys, tmp_path):
    target = tmp_path / "list.csv"
    assert main(["sample", "--book", charts, "--precision", "0.2", "--csv", str(target)]) == 0
    with target.open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert sum(r["list"] == "look at" for r in rows) == 16  # 20.2 for ±0.2 at one half; 60 in all
    assert set(rows[0]) == {"number", "list", "import", "row", "time", "ward", "met"}
    assert [int(r["number"]) for r in rows] == list(range(1, len(rows) + 1))
    assert {r["ward"] for r in rows} == {"'=5 West"} and {r["met"] for r in rows} == {""}
    assert "look at" not in capsys.readouterr().out


def test_a_result_is_told_with_its_interval(capsys):
    """Practice, section 9: 27 of 30 reads 74 to 97 %."""
    assert main(["sample", "--found", "27", "--of", "30"]) == 0
    assert "between 74 % and 97 %" in capsys.readouterr().out
    assert main(["sample", "--found", "30", "--of", "30", "--population", "30"]) == 0
    assert "between 100 % and 100 %" in capsys.readouterr().out


@pytest.mark.parametrize(
    "asked",
    [
        ["--found", "27"],
        ["--of", "30"],
        ["--found", "31", "--of", "30"],
        ["--found", "3", "--of", "30", "--population", "20"],
        ["--found", "0", "--of", "0"],
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
    assert "browline:" in capsys.readouterr().err
