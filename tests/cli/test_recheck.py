"""`browline recheck` as a shell sees it: JSON in, a readable answer, JSON out; one bad case loses no other."""

import io
import json
import re
from pathlib import Path

import jsonschema
import pytest

from browline.cli.main import main
from browline.services.book import change_preference
from browline.site_choice import ESCALATE

DOCS = Path(__file__).parents[2] / "docs"
SCHEMA = json.loads((DOCS / "schema" / "recheck.json").read_text())
ASKED = json.loads((DOCS / "schema" / "recheck-question.json").read_text())
REFERENCE = (DOCS / "reference.md").read_text(encoding="utf-8")
# Common practice, no source: while a patient is cooled the rectum stays high for a while after the oesophagus.
LAGGING = {
    "readings": [
        {"value": "98.4 F", "site": "oesophageal", "minutes_ago": 8},
        {"value": 38.5, "site": "rectal", "minutes_ago": 2},
    ],
    "answers": {"cooled": "yes"},
    "flags": ["no-rectal"],
}
GAP = {"readings": [{"value": 60, "site": "oral"}]}


@pytest.fixture
def asked(tmp_path, monkeypatch):
    """Ask with a file, where no book is; returns the exit status."""
    monkeypatch.setenv("BROWLINE_BOOK", str(tmp_path / "none"))

    def ask(document, *options):
        path = tmp_path / "question.json"
        path.write_text(document if isinstance(document, str) else json.dumps(document))
        return main(["recheck", str(path), *options])

    return ask


def shape(value):
    if isinstance(value, list):
        return {name: part for member in value for name, part in shape(member).items()}
    return (
        {name: shape(part) for name, part in value.items() if name != "causes"}
        if isinstance(value, dict)
        else {}
    )


def example(name):
    return json.loads(re.search(rf"```json {name}\n(.*?)```", REFERENCE, re.DOTALL)[1])


def test_the_answer_says_first_to_escalate_and_what_to_act_on(asked, capsys, tmp_path):
    assert asked(LAGGING) == 0
    said = capsys.readouterr().out
    whole = " ".join(said.split())
    assert said.startswith(ESCALATE)
    assert whole.index(ESCALATE) < whole.index("act on the safer reading: 38.5 °C")
    assert "The rectum is behind" in whole and "Not: Read the rectum once more" in whole
    assert "as published, not from this book" in whole
    assert not (tmp_path / "none").exists()


def test_the_json_is_what_schema_and_reference_say(asked, capsys):
    assert asked(LAGGING, "--json", "-") == 0
    written = json.loads(capsys.readouterr().out)
    jsonschema.validate(written, SCHEMA)
    assert shape(written) == shape(example("recheck"))
    answer = written["cases"][0]["answer"]
    assert [round(reading["value_c"], 1) for reading in answer["readings"]] == [36.9, 38.5]
    assert answer["escalate"] == ESCALATE and answer["safer"] == 2
    assert answer["steps"][-1]["barred"] and answer["steps"][-1]["site"] == "rectal"
    assert {"lag", "technique"} <= {story["what"] for story in answer["stories"]}


def test_the_question_of_the_reference_is_answered_and_fits_its_schema(asked, capsys):
    jsonschema.validate(example("question"), ASKED)
    jsonschema.validate({"cases": [LAGGING, GAP]}, ASKED)
    assert asked(example("question"), "--json", "-") == 0
    jsonschema.validate(json.loads(capsys.readouterr().out), SCHEMA)


def test_words_of_the_reference_are_the_programs():
    from browline.questioned import ANSWERS
    from browline.services.questioned.case import CARE, CASE, READING
    from browline.services.questioned.contraindications import AGES, FLAGS

    properties = ASKED["$defs"]["question"]["properties"]
    assert set(properties) == set(CASE) == set(example("question"))
    assert set(properties["readings"]["items"]["properties"]) == set(READING)
    assert properties["answers"]["properties"].keys() == ANSWERS.keys()
    assert [properties[name]["enum"] for name in ("age", "care")] == [list(AGES), list(CARE)]
    assert properties["flags"]["items"]["enum"] == list(FLAGS)
    told = REFERENCE.split("## Recheck")[1].split("\n## ")[0]
    for word in (*ANSWERS, *AGES, *CARE, *FLAGS):
        assert f"`{word}`" in told, word


def test_one_bad_case_loses_no_other(asked, capsys, tmp_path):
    target = tmp_path / "answers.json"
    assert asked({"cases": [GAP, LAGGING, 3]}, "--json", str(target)) == 3
    said = capsys.readouterr()
    assert "Case 1\n  Refused: Reading 1: " in said.out and "Case 2\nLooks ill" in said.out
    assert "2 of 3 cases were refused." in said.err and "Case 3:" in said.err
    written = json.loads(target.read_text())
    jsonschema.validate(written, SCHEMA)
    assert [case["answer"] is None for case in written["cases"]] == [True, False, True]
    assert "45 to 77" in written["cases"][0]["refused"]


def test_a_question_from_standard_input(monkeypatch, tmp_path, capsys):
    monkeypatch.setenv("BROWLINE_BOOK", str(tmp_path / "none"))
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(LAGGING)))
    assert main(["recheck", "-", "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out)["cases"][0]["case"] == 1


@pytest.mark.parametrize(
    ("document", "status"),
    [
        (GAP, 3),
        ("not json", 3),
        ('{"cases": []}', 3),
        ('{"cases": [], "more": 1}', 3),
        ("[1]", 3),
        ('{"a": NaN}', 3),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(asked, document, status, capsys, tmp_path):
    target = tmp_path / "answers.json"
    assert asked(document, "--json", str(target)) == status
    assert "browline:" in capsys.readouterr().err
    assert not target.exists() or json.loads(target.read_text())["cases"][0]["answer"] is None


def test_requests_that_are_not_understood_end_with_2(asked, tmp_path):
    assert asked(LAGGING, "--json", str(tmp_path / "no" / "answers.json")) == 2
    assert main(["recheck"]) == 2
    assert main(["recheck", str(tmp_path / "absent.json")]) == 3
    assert asked(LAGGING, "--book", str(tmp_path / "none")) == 3


def test_the_book_named_answers_with_its_own_lines(book, asked, capsys):

    change_preference.set_choice("fever_c", 37.5, "ines")
    assert asked(LAGGING, "--book", str(book.folder), "--json", "-") == 0
    assert json.loads(capsys.readouterr().out)["cases"][0]["answer"]["fever_c"] == 37.5


def test_the_python_of_the_reference_runs(capsys):
    exec(re.search(r"```python\n(.*?)```", REFERENCE, re.DOTALL)[1], {})
    assert "about" in capsys.readouterr().out


def test_the_terminal_tells_no_chance_where_none_may_be_told(asked, capsys):
    old = {"readings": [{"value": 39.0, "site": "oral", "minutes_ago": 200}, *LAGGING["readings"]]}
    assert asked(old) == 0
    assert "Not used: 39.0 °C (102.2 °F), mouth, 200 minutes ago." in " ".join(
        capsys.readouterr().out.split()
    )
    assert asked({**LAGGING, "answers": {"worsening": "yes"}}, "--json", "-") == 0
    written = json.loads(capsys.readouterr().out)
    jsonschema.validate(written, SCHEMA)
    assert written["cases"][0]["answer"]["withheld"]["because"] == ["worsening"]
    assert asked({**LAGGING, "answers": {"worsening": "yes"}}) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "cannot argue against acting" in said and "No chance is told" in said
    assert " in 10" not in said and "hang together" not in said and "Where the numbers" not in said
