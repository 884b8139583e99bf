"""A document as JSON, to a file or to standard output: the same for every command."""

import json
import sys
from pathlib import Path


def put_json(target: str, document: object) -> None:
    """Write `document` to the file `target`, or to standard output where that is "-"; refuses NaN."""
    put_text(target, json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n")


def put_text(target: str, text: str) -> None:
    """Write JSON that is text already to the file `target`, or to standard output where that is "-"."""
    if target == "-":
        sys.stdout.write(text)
    else:
        Path(target).write_text(text, encoding="utf-8")
