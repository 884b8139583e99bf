"""A file that is not people's lists nobody: not in JSON, on pages, in the terminal, the report or sheets."""

import json
from pathlib import Path

import jsonschema
import pytest

from browline.cli.show import show_review
from browline.paper.html import write_html
from browline.paper.sheets import findings_sheet
from browline.services.imports.run import import_file
from browline.services.review.run import review
from browline.services.review.stored_report import review_report
from browline.store.models import Finding

SCHEMA = json.loads((Path(__file__).parents[3] / "docs" / "schema" / "review.json").read_text())
FEWEST_STAYS = 240


def charts(off):
    """Thirty who charted; the first `off` of them charted something else, two degrees and a half away."""
    rows = ["stay,person,time,Temp (C),site,ward"]
    for i in range(30 * FEWEST_STAYS // 4):
        stay, who = i % FEWEST_STAYS, (i * 7 + i // FEWEST_STAYS) % 30
        away = (2.5 if who % 2 else -2.5) if who < off else 0.0
        value = 36.8 + 0.1 * (stay % 7) + 0.1 * (i % 3) + away
        when = f"2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d}"
        rows.append(
            f"V{stay},NURSE{who:02d},{when},{value:.1f},Temporal,{'5 West' if stay % 2 else '6 East'}"
        )
    return "\n".join(rows)


@pytest.fixture
def wrong(book, export):
    import_file(book, export(charts(12)))
    return review(book, people=True)


def test_the_json_has_nobody_and_says_why(wrong):
    jsonschema.validate(wrong.result, SCHEMA)
    assert wrong.result["people"] == []
    told = wrong.result["people_not_listed"]
    assert (told["beyond"], told["of"]) == (12, 30)
    assert told["sentence"].startswith("Look at the file") and told["sentence"] in wrong.result["limits"]
    assert "NURSE" not in json.dumps(wrong.result)
    assert not Finding.objects.filter(subject_type="person").exists()


def test_neither_terminal_report_nor_sheet_names_anybody(wrong, capsys, tmp_path):
    show_review(wrong)
    printed = capsys.readouterr().out
    assert printed.count("Look at the file: 12 of the 30 people") == 1
    report = review_report(wrong)
    page = write_html(report, tmp_path / "report.html").read_text()
    assert "Look at the file" in report.first.cannot_say[0]
    assert "Help with technique" in page and "Look at the file" in page
    for text in (printed, page, str(findings_sheet(report).rows), str(report)):
        assert "NURSE" not in text


def test_those_named_before_are_not_named_again(book, export):
    import_file(book, export(charts(2)))
    before = review(book, people=True)
    assert Finding.objects.filter(subject_type="person").exists() and before.result["people"]
    import_file(book, export(charts(12).replace("2026-03", "2026-04"), "later.csv"))
    after = review(book, people=True)
    assert after.result["people"] == []
    assert "NURSE" not in str(review_report(after))
