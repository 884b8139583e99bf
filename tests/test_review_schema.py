"""The schema of the review is written from its types, and refuses what the contract does not allow."""

import json
from copy import deepcopy
from pathlib import Path

import jsonschema
import pytest
import review_schema

from browline.documents.constraints import VERDICTS
from browline.documents.finding import CauseRow, FindingRow, Subject
from browline.documents.review import (
    InstrumentRow,
    ReadingsRow,
    ReviewDocument,
    SiteRow,
    Spread,
    TrainingRow,
    WardRow,
    stored_parts,
)
from browline.variation.training.verdict import Verdict

STORED = Path(__file__).parents[1] / "docs" / "schema" / "review.json"
SCHEMA = jsonschema.Draft202012Validator(json.loads(review_schema.review_schema()))
DOCUMENT = ReviewDocument(
    readings=ReadingsRow(total=3, used=3, first="2026-01-05T00:10:00Z", until="2026-01-06T00:10:00Z"),
    sites=(SiteRow(site="oral", n=3, sd_c=0.2),),
    spread=Spread(),
    instruments=(InstrumentRow(instrument="FS-01", n=3, comparator="the others", data_share=0.9),),
    wards=(WardRow(ward="Alder", n=3, comparator="the others", data_share=0.9),),
    training=TrainingRow(verdict="cannot-tell"),
    findings=(
        FindingRow(
            kind="site-missing",
            subject=Subject(type="ward", id="Alder"),
            unit="share",
            n=3,
            causes=(CauseRow(cause="the form"),),
            action="Look at the form.",
            sentence="Readings have no site.",
        ),
    ),
    limits=("The whole fleet may be off.",),
)
GONE = object()


def test_the_schema_of_the_documents_is_the_one_written_from_the_types():
    """After a change of the types: python tools/review_schema.py."""
    assert STORED.read_text(encoding="utf-8") == review_schema.review_schema()


def test_a_review_fits():
    SCHEMA.validate(stored_parts(DOCUMENT)[0])


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("format",), "browline-review/9"),
        (("seasons",), []),
        (("readings", "people"), GONE),
        (("readings", "total"), -1),
        (("readings", "from"), "2026-01-05"),
        (("sites", 0, "site"), "nose"),
        (("sites", 0, "sd_c"), -0.1),
        (("sites", 0, "pairs"), None),
        (("spread",), None),
        (("instruments", 0, "data_share"), 1.1),
        (("instruments", 0, "comparator"), None),
        (("instruments", 0, "confounded_with"), None),
        (("instruments", 0, "offset_c"), "0.1"),
        (("wards", 0, "judged"), GONE),
        (("wards", 0, "probability_beyond"), 0.5),
        (("training", "verdict"), "who knows"),
        (("findings", 0, "kind"), "mood"),
        (("findings", 0, "unit"), None),
        (("findings", 0, "since"), "yesterday"),
        (("findings", 0, "causes", 0, "tell_apart"), "look"),
        (("findings", 0, "action"), ""),
        (("limits",), []),
        (("people",), None),
    ],
)
def test_what_the_contract_does_not_allow_is_refused(place, value):
    data = deepcopy(stored_parts(DOCUMENT)[0])
    part = data
    for step in place[:-1]:
        part = part[step]
    if value is GONE:
        del part[place[-1]]
    else:
        part[place[-1]] = value
    assert not SCHEMA.is_valid(data)


def test_verdicts_are_those_of_the_room():
    assert tuple(verdict.value for verdict in Verdict) == VERDICTS
