"""The invented hospital from its charts to its report, and what was planted beside what was found."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from browline.documents.finding import FindingRow
from browline.documents.review import ReviewDocument
from browline.errors import InputRefused
from browline.services.book.change_preference import set_choice
from browline.services.demo.habits import PlantedHabit, planted_habits, unplanted
from browline.services.demo.questioned import doubt
from browline.services.demo.roster import coming_roster
from browline.services.demo.rounds import walk
from browline.services.demo.teaching import teach
from browline.services.demo.truth import Truth
from browline.services.imports.run import import_file
from browline.services.review.run import review
from browline.services.review.wards import wards
from browline.store.folder import Book
from browline.store.models import Import, Review, Setting
from browline.synthetic import Hospital, csv_chunks, invent

Progress = Callable[[int, int, str], None]
ORDER = ("instruments", "people", "readings", "cleanings", "checks", "sessions", "events")
TRUTH = "truth.json"
COUNTS_AT = 300
MATTERS_C = 0.35


@dataclass(frozen=True)
class Planted:
    """A planted instrument fault, its size against the middle of its kind, and whether the review found it."""

    instrument: str
    kind: str
    against_c: float
    first_day: str
    n: int
    found: bool
    found_c: float | None
    since: str | None


@dataclass(frozen=True)
class Shown:
    """What the demonstration came to: the review, planted against found, and flags that nothing was planted for."""

    review: Review
    planted: tuple[Planted, ...]
    false_flags: tuple[str, ...]
    habits: tuple[PlantedHabit, ...] = ()
    false_habits: tuple[str, ...] = ()


def demonstrate(book: Book, *, size: str, seed: int, now: datetime, progress: Progress) -> Shown:
    """Invent a hospital, write its export, import and review it; teaching goes on up to `now`.

    The review never reads the truth.
    """
    _claim(book, f"{size} {seed}")
    progress(0, 0, "inventing")
    hospital = invent(size, seed=seed, progress=lambda name, share: progress(int(100 * share), 100, name))  # type: ignore[arg-type]
    export = book.folder / "export"
    files = _write_export(hospital, export)
    set_choice("hospital", hospital.name, "demonstration")
    set_choice("zone", hospital.zone, "demonstration")
    for kind, file in files.items():
        import_file(book, file, kind=kind, zone=hospital.zone, actor="demonstration", progress=progress)
    coming_roster(book, hospital, export, now, seed=seed)
    teach(hospital.house, now, seed=seed)
    walk(book, now, seed=seed)
    doubt(book, now, seed=seed)
    stored_review = review(book, actor="demonstration", progress=progress)
    truth: Truth = json.loads((export / TRUTH).read_text(encoding="utf-8"))
    document = stored_review.document
    planted, ward_answers = _planted(truth, document), wards(stored_review)
    names = {p.instrument for p in planted} | _faulty(export)
    false = [f.subject.id for f in _flags(document) if f.subject.id not in names]
    return Shown(
        review=stored_review,
        planted=planted,
        false_flags=tuple(false),
        habits=planted_habits(truth, ward_answers),
        false_habits=unplanted(truth, ward_answers),
    )


def _claim(book: Book, which: str) -> None:
    """Mark an empty book as this demonstration's; refuse one that holds anything else."""
    claimed = Setting.objects.filter(key="demonstration").first()
    if claimed is None and not Import.objects.exists():
        Setting.objects.create(key="demonstration", value=which)
    elif claimed is None or claimed.value != which:
        raise InputRefused(
            f"The book in {book.folder} already holds something else.",
            "An invented hospital needs a book of its own.",
            "Choose another folder with --book DIR.",
        )


def _write_export(hospital: Hospital, folder: Path) -> dict[str, Path]:
    folder.mkdir(exist_ok=True)
    files = {}
    for kind in ORDER:
        files[kind] = folder / f"{kind}.csv"
        with files[kind].open("w", newline="", encoding="utf-8") as file:
            file.writelines(csv_chunks(hospital.tables[kind]))
    (folder / TRUTH).write_text(json.dumps(hospital.truth, indent=1), encoding="utf-8")
    return files


def _flags(document: ReviewDocument) -> list[FindingRow]:
    return [f for f in document.findings if f.subject.type == "instrument"]


def _faulty(export: Path) -> set[str]:
    truth: Truth = json.loads((export / TRUTH).read_text(encoding="utf-8"))
    return {i["instrument"] for i in truth["instruments"]}


def _planted(truth: Truth, document: ReviewDocument) -> tuple[Planted, ...]:
    """Instrument faults big enough and used enough that the review ought to find them."""
    flags = {f.subject.id: f for f in _flags(document)}
    offsets = {i.instrument: i.offset_c for i in document.instruments}
    rows = []
    for i in truth["instruments"]:
        if (
            i["against_c"] is None
            or i["n"] < COUNTS_AT
            or (i["kind"] != "unit" and abs(i["against_c"]) < MATTERS_C)
        ):
            continue
        flag = flags.get(i["instrument"])
        effect = offsets.get(i["instrument"]) if flag and flag.unit == "C" else None
        since = flag.since if flag else None
        kind, name = i["kind"], i["instrument"]
        rows.append(
            Planted(
                instrument=name,
                kind=kind,
                against_c=i["against_c"],
                first_day=i["first_day"],
                n=i["n"],
                found=flag is not None,
                found_c=effect,
                since=since,
            )
        )
    return tuple(rows)
