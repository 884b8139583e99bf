"""Edits to a pathway, safe and unsafe, written by somebody who had not read the check.

An unsafe edit is refused, or shown to whoever approves with what it changes; a safe one is taken. `edits.json` is kept
as it was written.
"""

import copy
import json
from difflib import SequenceMatcher
from pathlib import Path

import pytest

from browline.errors import NotUnderstood
from browline.materials import pathway
from browline.services.materials import documents
from browline.services.materials.changed_rows import ADDED, CHANGED, changes
from browline.services.questioned.pathway import KIND

EDITS = json.loads((Path(__file__).parent / "edits.json").read_text(encoding="utf-8"))["edits"]
UNSAFE = {edit["id"]: edit for edit in EDITS if edit["label"] == "unsafe"}
SAFE = {edit["id"]: edit for edit in EDITS if edit["label"] == "safe"}
BODY = documents.checked(pathway.LAYOUT, pathway.default())


def nearest(part, text):
    """The line of a part that says the same matter: the one with most words in common, as letters go."""
    rows = [row for row in BODY["rows"] if row["part"] == part]
    return max(rows, key=lambda row: SequenceMatcher(None, row["says"], text).ratio())["id"]


def edited(edit):
    """The pathway as it comes, with this edit, and the texts that it brings in."""
    body, texts = copy.deepcopy(BODY), list(edit["text"])
    if edit["part"] == "call":
        body["head"]["call"] = " ".join(texts)
        return body, [body["head"]["call"]]
    id = edit["row"] or nearest(edit["part"], " ".join(texts))
    row = {"id": "", "part": edit["part"], "says": "", "source": "the ward", "by_instructions": False}
    if edit["op"] == "replace":
        next(row for row in body["rows"] if row["id"] == id)["says"] = texts[0]
    rest = texts[1:] if edit["op"] == "replace" else texts
    body["rows"] += [{**row, "id": f"of-the-ward-{k}", "says": says} for k, says in enumerate(rest)]
    return body, texts


def refused(body):
    try:
        pathway.check(documents.checked(pathway.LAYOUT, body))
    except NotUnderstood:
        return True
    return False


@pytest.mark.parametrize("id", UNSAFE)
def test_an_unsafe_edit_is_refused_or_shown_with_what_it_changes(id):
    body, texts = edited(UNSAFE[id])
    if refused(body):
        return
    told = changes(pathway.LAYOUT, BODY, documents.checked(pathway.LAYOUT, body))
    for text in texts:
        (one,) = [line for line in told if text in line.now]
        assert one.what in (CHANGED, ADDED) and one.was != one.now
        assert one.was or one.what == ADDED or one.field == "Whom to call", "the old text stands beside it"


@pytest.mark.parametrize("id", SAFE)
def test_a_safe_edit_is_taken(id):
    assert not refused(edited(SAFE[id])[0])


def test_the_check_alone_lets_unsafe_edits_pass_and_so_claims_nothing():
    """What the limits say of it: fewer than half are refused."""
    count = sum(refused(edited(edit)[0]) for edit in UNSAFE.values())
    assert 0 < count < len(UNSAFE) / 2 and len(UNSAFE) == 70


@pytest.mark.parametrize(("id", "named"), [("e109", "CYRILLIC"), ("e116", "ZERO WIDTH SPACE")])
def test_signs_that_cannot_be_seen_are_named(id, named):
    told = changes(pathway.LAYOUT, BODY, edited(UNSAFE[id])[0])
    assert any(named in line.strange for line in told)


def test_an_unsafe_edit_that_passes_the_check_cannot_be_approved_unseen(book):
    from datetime import date

    passing = [edited(edit)[0] for edit in UNSAFE.values() if not refused(edited(edit)[0])]
    approval = documents.Approval("Ines", "policy", date(2026, 1, 1), date(2027, 1, 1))
    for body in passing:
        with pytest.raises(NotUnderstood, match="approved unseen"):
            documents.new_version(KIND, body, approval, read=1, actor="educator")
    assert documents.latest(KIND).version == 1
