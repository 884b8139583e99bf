"""The other documents that the kept book's commands wrote open as documents and are written again byte for byte."""

import json

from browline.documents.coverage import coverage_json, read_coverage


def as_written(contract):
    """JSON as commands of that version wrote it."""
    return json.dumps(contract, indent=2, ensure_ascii=False) + "\n"


def test_the_coverage(kept):
    frozen = kept.told("frozen/coverage.json")
    assert len(frozen["weeks"]["cells"]) > 3 and frozen["on_duty"]["eligible"]
    assert coverage_json(read_coverage(frozen)) == as_written(frozen)
