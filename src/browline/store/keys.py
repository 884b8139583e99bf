"""The key that turns identifiers into pseudonyms. It lies outside the book: a copied book stays pseudonymous.

``pseudonym = first 63 bits of HMAC-SHA256(key, role || 0 || text)``: the same person gets the same number in
every export, nobody without the key can go back, and 63 bits fit every database's integer.
At a million identifiers the chance of any two sharing a number is about 5e-8.
"""

import hmac
import os
import secrets
from pathlib import Path

from browline.errors import InputRefused

BLOCK = 64  # bytes of a SHA-256 block


def key_folder() -> Path:
    """Where keys are kept: `BROWLINE_KEYS`, else the user's own settings folder."""
    chosen = os.environ.get("BROWLINE_KEYS")
    if chosen:
        return Path(chosen)
    from platformdirs import user_config_path

    return user_config_path("browline", appauthor=False) / "keys"


def make_key(book_id: str) -> None:
    """Make a new key for a new book, readable by its owner only."""
    folder = key_folder()
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle = os.open(folder / f"{book_id}.key", os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(secrets.token_bytes(32))
        file.flush()
        os.fsync(file.fileno())


def read_key(book_id: str) -> bytes:
    """The key of a book; refuses in words where it is not on this computer."""
    path = key_folder() / f"{book_id}.key"
    if not path.exists():
        raise InputRefused(
            "The key of this book is not on this computer.",
            "Without it, patients in a new file cannot be matched to those already here.",
            f"Copy {book_id}.key from the computer where the book was made into {path.parent}.",
        )
    return path.read_bytes()


def pseudonym_sql(key: bytes, role: str, text: str) -> str:
    """The same pseudonym as SQL over a column `text` of stripped identifiers, for many at once.

    HMAC spelled out (RFC 2104): ``H((K ^ opad) || H((K ^ ipad) || role || 0 || text))``, K padded to 64 bytes.
    """
    padded = key.ljust(BLOCK, b"\0")
    inner = bytes(b ^ 0x36 for b in padded) + role.encode() + b"\0"
    outer = bytes(b ^ 0x5C for b in padded)
    digest = f"sha256(unhex('{outer.hex()}') || unhex(sha256(unhex('{inner.hex()}') || encode({text}))))"
    return f"(('0x' || {digest}[1:16])::UBIGINT >> 1)::BIGINT"


def pseudonym(key: bytes, role: str, text: str) -> int:
    """The pseudonym of one identifier in its role (patient, stay, person): an integer in [0, 2^63)."""
    digest = hmac.digest(key, role.encode() + b"\0" + text.strip().encode(), "sha256")
    return int.from_bytes(digest[:8], "big") >> 1
