"""What a file can and cannot answer, and the page for the data team."""

import pytest

from browline.columns import KINDS
from browline.intake import can_answer

FULL = [c.name for c in KINDS["readings"]]


def test_a_full_export_asks_for_nothing() -> None:
    answers = can_answer({"readings": FULL})
    assert answers.cannot_answer == () and answers.requests == ()


@pytest.mark.parametrize("column", ["instrument", "site", "person", "ward", "entered", "unit"])
def test_each_missing_column_is_named_and_asked_for(column) -> None:
    without = [c for c in FULL if c != column and not (column == "site" and c == "method")]
    answers = can_answer({"readings": without})
    assert len(answers.cannot_answer) == 1
    assert [r.column for r in answers.requests] == [column]
    assert len(answers.requests[0].ask) > 10 and len(answers.requests[0].why) > 10


def test_either_patient_or_stay_is_enough() -> None:
    assert can_answer({"readings": [c for c in FULL if c != "patient"]}).requests == ()
    without = can_answer({"readings": [c for c in FULL if c not in ("patient", "stay")]})
    assert [r.column for r in without.requests] == ["stay"]


def test_a_register_alone_promises_nothing_about_readings() -> None:
    answers = can_answer({"instruments": ["instrument"]})
    assert len(answers.can_answer) == 1 and answers.requests == ()
