"""The kept book: where it lies, how it is unpacked and opened, and what stands beside it in its zip.

book/, keys/            the book and its key           files/             every file that was imported
kept.json               its moment, files and rows     post/              what waited on phones without a network
questions.json          questions for `recheck`        frozen/            what its commands wrote as JSON then
"""

import json
import shutil
import zipfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

ZIP = Path(__file__).parents[1] / "data" / "kept-book.zip"


@dataclass(frozen=True)
class Kept:
    """An unpacked copy, opened: `facts` is kept.json, `now` the moment at which its clock stands still."""

    folder: Path
    book: Any
    facts: dict[str, Any]

    @property
    def now(self) -> datetime:
        """Minutes after the book was made, when the phones' network came back."""
        return datetime.fromisoformat(self.facts["now"])

    def told(self, name: str) -> Any:
        """A JSON file of the zip."""
        return json.loads((self.folder / name).read_text(encoding="utf-8"))


def unpack(folder: Path) -> Path:
    """Unpack the zip into `folder`."""
    with zipfile.ZipFile(ZIP) as packed:
        packed.extractall(folder)
    return folder


def open_copy(unpacked: Path, folder: Path, patch: Any) -> Kept:
    """Copy what was unpacked, stop the clock at its moment, and open the book as this version does."""
    from django.utils import timezone

    from browline.store.book import open_book

    shutil.copytree(unpacked, folder)
    facts = json.loads((folder / "kept.json").read_text(encoding="utf-8"))
    stopped = datetime.fromisoformat(facts["now"])
    patch.setattr(timezone, "now", lambda: stopped)
    patch.setenv("BROWLINE_KEYS", str(folder / "keys"))
    return Kept(folder, open_book(folder / "book"), facts)


def rows() -> dict[str, int]:
    """How many rows each table of the open book has."""
    from django.apps import apps

    return {model.__name__: model.objects.count() for model in apps.get_app_config("store").get_models()}


def readings_in_force(book: Any) -> int:
    """How many readings count."""
    from browline.store.readings import load_readings

    return len(load_readings(book, None, None))
