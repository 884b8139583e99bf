"""Whether a request came from this computer or from a phone."""

from typing import Any

MARK = "browline.phones"


def from_phone(environ: dict[str, Any]) -> bool:
    """Whether a request (its META) came through the listener for phones."""
    return bool(environ.get(MARK))
