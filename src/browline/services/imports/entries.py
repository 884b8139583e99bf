"""What a receipt says, as the contract writes it."""

from typing import TypedDict


class CountedReason(TypedDict):
    """A reason or a repair: how often it occurred, the rows of the first few, and what it means."""

    code: str
    count: int
    example_rows: list[int]
    sentence: str


class FileEntry(TypedDict):
    """What became of the rows of one file, or of one of its tables."""

    file: str
    kind: str
    rows: int
    taken: int
    already_here: int
    set_aside: int
    repaired: int
    mapping: dict[str, str]
    reasons: list[CountedReason]


class Strays(TypedDict):
    """Files in the book's folder of readings that no import names."""

    count: int
    files: list[str]
    sentence: str


class BookAnswers(TypedDict):
    """What everything in the book can and cannot answer, and the columns to ask for."""

    can_answer: list[str]
    cannot_answer: list[str]
    requests: list[dict[str, str]]


class RefusedFile(TypedDict):
    """A file that was not taken, and why."""

    file: str
    sentence: str


class ReceiptDocument(TypedDict):
    """One receipt, or several, as one document."""

    format: str
    files: list[FileEntry]
    can_answer: list[str]
    cannot_answer: list[str]
    refused: list[RefusedFile]
    strays: Strays


class JoinedDocument(ReceiptDocument):
    """Several receipts, with sentences for people beside the contract's fields."""

    notes: list[str]
