"""The document of questioned readings: its schema, its contract read back as written, and finite numbers alone."""

import json
from math import nan
from pathlib import Path

import pytest
from msgspec import convert, structs
from msgspec import json as encoded

from browline.documents.encoding import NotFinite
from browline.documents.recheck import (
    AnswerDocument,
    CaseRow,
    CoreRow,
    QuestionedReading,
    RecheckDocument,
    SourceRow,
    StepRow,
    StoryRow,
    WithheldRow,
    recheck_contract,
    recheck_json,
)

SCHEMA = json.loads((Path(__file__).parents[2] / "docs" / "schema" / "recheck.json").read_text())
ANSWER = SCHEMA["$defs"]["answer"]
ITEMS = {name: ANSWER["properties"][name]["items"] for name in ("readings", "stories", "steps", "sources")}
OF_SCHEMA = {
    RecheckDocument: SCHEMA,
    CaseRow: SCHEMA["properties"]["cases"]["items"],
    AnswerDocument: ANSWER,
    CoreRow: SCHEMA["$defs"]["core"],
    WithheldRow: ANSWER["properties"]["withheld"]["anyOf"][1],
    QuestionedReading: ITEMS["readings"],
    StoryRow: ITEMS["stories"],
    StepRow: ITEMS["steps"],
    SourceRow: ITEMS["sources"],
}


def answered(**fields):
    """A document of one refused case and one answer."""
    facts = {
        "escalate": "Escalate.",
        "says": "",
        "act_on": "",
        "outcome": "low",
        "fever_c": 38,
        "low_c": 35.0,
    }
    answer = AnswerDocument(**facts, **fields)
    return RecheckDocument(cases=(CaseRow(case=1, refused="No value."), CaseRow(case=2, answer=answer)))


@pytest.mark.parametrize("kind", OF_SCHEMA, ids=lambda kind: kind.__name__)
def test_its_fields_are_those_of_the_schema(kind):
    names = [part.encode_name for part in structs.fields(kind) if part.name != "supplement"]
    assert sorted(names) == sorted(OF_SCHEMA[kind]["properties"]) == sorted(OF_SCHEMA[kind]["required"])


def test_the_contract_is_written_without_the_supplement_and_whole_numbers_stay_whole():
    refused, answer = recheck_contract(answered())["cases"]
    assert refused == {"case": 1, "refused": "No value.", "answer": None}
    assert "supplement" not in answer["answer"] and json.dumps(answer["answer"]["fever_c"]) == "38"


def test_what_was_written_is_read_again():
    document = answered(core=CoreRow(mean_c=37.2, low_c=36.9, high_c=37.5, fever=0.01, low=0))
    assert convert(json.loads(recheck_json(document)), RecheckDocument) == document


def test_a_number_that_is_not_finite_is_refused_with_its_place():
    with pytest.raises(NotFinite, match=r"answer\.core\.fever is nan"):
        recheck_json(answered(core=CoreRow(fever=nan)))
    step = StepRow(kind="other-site", site="oral", wait_minutes=nan, do="Read the mouth.")
    with pytest.raises(NotFinite, match=r"answer\.steps\[0\]\.wait_minutes is nan"):
        recheck_json(answered(steps=(step,)))
    assert b'"fever":null' in encoded.encode(CoreRow(fever=nan)), "the library alone would have written null"


def test_readings_that_are_not_used_have_no_sentence():
    rows = [
        QuestionedReading(value_c=38.0, site="oral", minutes_ago=2, used=used, sentence=sentence)
        for used, sentence in ((False, ""), (True, "Probably right."))
    ]
    assert answered(readings=tuple(rows)).cases[1].answer.reading_sentences == ("Probably right.",)


def test_the_fields_stand_in_the_order_in_which_programs_have_read_them():
    """As this format was written before there was a document."""
    steps = "kind site wait_minutes fever_from_c no_fever_to_c barred drop settles do heed wait brings"
    answer = (
        "escalate emergencies says act_on act_on_readings withheld not_used act_as safer outcome loss left_out core"
        " fever_c low_c readings stories steps notes sources cautions"
    )
    step = StepRow(kind="other-site", site="oral", wait_minutes=0, do="Read the mouth.")
    written = recheck_contract(answered(steps=(step,)))["cases"][1]["answer"]
    assert list(written) == answer.split() and list(written["steps"][0]) == steps.split()
