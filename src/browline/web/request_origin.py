"""Whether a request came from this computer or from a phone."""

from collections.abc import Mapping

MARK = "browline.phones"


def from_phone(environ: Mapping[str, object]) -> bool:
    """Whether a request (its META) came through the listener for phones."""
    return bool(environ.get(MARK))
