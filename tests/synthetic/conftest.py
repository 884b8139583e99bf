"""One small invented hospital for all tests of this room, and one of a few thousand readings."""

import pytest

from browline.synthetic import Hospital, invent


@pytest.fixture(scope="session")
def small() -> Hospital:
    return invent("small", seed=1)


@pytest.fixture(scope="session")
def few() -> Hospital:
    return invent(5000, seed=4)
