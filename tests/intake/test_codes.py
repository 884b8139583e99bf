"""The two closed lists: every code written in this room is in them, each with a sentence."""

import ast
import re
from pathlib import Path

import browline.intake
from browline.intake import REASONS, REPAIRS
from browline.intake.fhir_codes import ABSENT_REASONS
from browline.intake.non_numeric_words import INSTEAD

ROOM = Path(browline.intake.__file__).parent
_CODE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")


def _said(names: set[str]) -> set[str]:
    """Every string given as one of these keyword arguments anywhere in the room."""
    found = set()
    for file in ROOM.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.keyword) and node.arg in names:
                found |= {
                    leaf.value
                    for leaf in ast.walk(node.value)
                    if isinstance(leaf, ast.Constant) and isinstance(leaf.value, str)
                }
    return found


def _strings() -> set[str]:
    """Every string of the room outside the lists themselves."""
    files = [f for f in ROOM.glob("*.py") if f.name != "codes.py"]
    nodes = (node for f in files for node in ast.walk(ast.parse(f.read_text("utf-8"))))
    return {n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)}


def test_every_reason_and_repair_given_is_in_its_list() -> None:
    assert {c for c in _said({"reason"}) if _CODE.fullmatch(c)} <= set(REASONS)
    assert {c for c in _said({"repair", "repairs"}) if _CODE.fullmatch(c)} <= set(REPAIRS)
    assert set(INSTEAD) <= set(REASONS)
    assert set(ABSENT_REASONS.values()) <= set(REASONS)


# Codes that only the store can find, because it sees rows; it takes their sentences from here.
FOR_THE_STORE = {
    "time-skipped", "replaced", "totals-row", "heading-row", "row-broken", "cell-missing", "number-unread",
    "time-joined", "hour-repeated", "code-unknown", "two-of-this-name", "two-places", "person-unread", "nobody-named",
    "person-not-listed", "roster-replaced", "two-rows-one-name",
}  # fmt: skip


def test_every_code_of_the_lists_is_used() -> None:
    said = _strings()
    unused = {code for code in (*REASONS, *REPAIRS) if code not in said}
    assert unused == FOR_THE_STORE


def test_each_code_has_one_plain_sentence() -> None:
    for code, sentence in (REASONS | REPAIRS).items():
        assert sentence.endswith(".") and not sentence[0].islower() and len(sentence) < 120, code
    assert not set(REASONS) & set(REPAIRS)
