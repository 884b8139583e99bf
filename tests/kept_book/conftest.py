"""One copy of the kept book for each file of tests, with its clock stopped."""

import pytest
from django.db import connections
from kept import open_copy, unpack


@pytest.fixture(scope="session")
def unpacked(tmp_path_factory):
    """The zip, unpacked once."""
    return unpack(tmp_path_factory.mktemp("kept-book"))


@pytest.fixture(scope="module")
def kept(unpacked, tmp_path_factory):
    """A copy that this file of tests may change."""
    with pytest.MonkeyPatch.context() as patch:
        yield open_copy(unpacked, tmp_path_factory.mktemp("opened") / "kept", patch)
        connections["default"].close()


@pytest.fixture(scope="module")
def come_in(kept):
    """A browser let in by an address, or by none."""
    from django.test import Client

    def come(address=""):
        client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        if address:
            assert client.get(address).status_code == 302, address
        return client

    return come


@pytest.fixture(scope="module")
def educator(come_in):
    """The educator, signed in."""
    from browline.web.access import make_token

    return come_in(f"/in/{make_token()}/")
