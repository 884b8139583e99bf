"""The fields of a review's audit are those of the reference."""

import json
import re
from pathlib import Path

REFERENCE = (Path(__file__).parents[3] / "docs" / "reference.md").read_text(encoding="utf-8")


def shape(value):
    """Names of fields, nested; of a list, those of all its members."""
    if isinstance(value, list):
        return {name: part for member in value for name, part in shape(member).items()}
    return {name: shape(part) for name, part in value.items()} if isinstance(value, dict) else {}


def test_the_audit_in_the_reference_is_what_a_review_keeps(hospital):
    from browline.store.models import last_whole_review

    example = json.loads(re.search(r"```json audit\n(.*?)```", REFERENCE, re.DOTALL)[1])
    assert shape(last_whole_review().supplement["audit"]) == shape(example)
