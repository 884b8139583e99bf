"""What the kept book's commands write is what they wrote then, but for what an issue names in `changes`."""

import json

import pytest
from changes import CHANGES
from msgspec import convert
from outputs import supplement, unexplained, unused, written

from browline.documents.instruments import InstrumentsDocument, instruments_json
from browline.documents.recheck import RecheckDocument, recheck_json

NAMES = ("coverage", "instruments", "plan", "recheck", "review", "supplement")


@pytest.fixture(scope="module")
def now_written(kept, tmp_path_factory):
    """Every output, by this version; the review comes last, so that the others see the book as it was."""
    folder = tmp_path_factory.mktemp("written")
    told = {name: written(kept, name, folder) for name in NAMES[:-1]}
    return {**told, "supplement": supplement()}


@pytest.mark.parametrize("name", NAMES)
def test_it_is_the_same_but_for_what_an_issue_names(kept, now_written, name):
    found = unexplained(name, kept.told(f"frozen/{name}.json"), now_written[name])
    lines = [f"{path}: {then!r} -> {now!r}" for path, then, now in found]
    assert not lines, f"{len(lines)} differences without a reason in changes.py:\n" + "\n".join(lines[:60])


@pytest.mark.parametrize("name", NAMES)
def test_every_named_change_is_still_one(kept, now_written, name):
    assert unused(name, kept.told(f"frozen/{name}.json"), now_written[name]) == []


def test_every_change_has_an_output_and_a_reason():
    assert all(output in NAMES and path and reason for output, path, reason in CHANGES)


@pytest.mark.parametrize(
    ("name", "kind", "as_text"),
    [("recheck", RecheckDocument, recheck_json), ("instruments", InstrumentsDocument, instruments_json)],
)
def test_a_document_is_read_again_and_written_as_the_same_bytes(kept, tmp_path, name, kind, as_text):
    """What the command wrote of the kept book becomes the document again, and that the same text."""
    written(kept, name, tmp_path)
    text = (tmp_path / f"{name}.json").read_text(encoding="utf-8")
    assert len(text) > 5000 and as_text(convert(json.loads(text), kind)) == text
