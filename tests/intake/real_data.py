"""Real samples beside the project; tests that need one are skipped, with the reason, where it is missing."""

from pathlib import Path

import pytest

import browline

_SHARED = Path(browline.__file__).parents[3] / "shared" / "data"
_COMMITTED = Path(__file__).parents[1] / "data"


def sample(path: str) -> Path:
    """The path of a sample, committed under tests/data or beside the project."""
    for root in (_COMMITTED, _SHARED):
        if (root / path).exists():
            return root / path
    pytest.skip(f"the sample data file {path} is not beside the project (../shared/data)")
