"""The receipt of an import: what came in, what was mended or set aside, what it can and cannot answer."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType

from browline import display
from browline.errors import Refusal
from browline.intake import REASONS, REPAIRS, can_answer, daily_low_warning, safe_heading, ward_suggestions
from browline.intake.answerable import Answers
from browline.services.imports.entries import BookAnswers, FileEntry, JoinedDocument, ReceiptDocument
from browline.services.imports.strays import strays_as_json
from browline.store.importing.readings import Prepared
from browline.store.importing.ready import Part
from browline.store.models import Import
from browline.store.sources import Source

FORMAT = "browline-receipt/1"
WHOLE = "the file"


@dataclass(frozen=True)
class Receipt:
    """What one file came to: entries per table, sentences, and the imports it made (none where nothing was new).

    `strays`: files in the book's folder of readings that no import names.
    """

    files: tuple[FileEntry, ...]
    can_answer: tuple[str, ...]
    cannot_answer: tuple[str, ...]
    requests: tuple[dict[str, str], ...]
    notes: tuple[str, ...]
    imports: tuple[int, ...]
    strays: tuple[str, ...] = ()

    def as_json(self) -> ReceiptDocument:
        """The receipt as the contract writes it."""
        return {
            "format": FORMAT,
            "files": list(self.files),
            "can_answer": list(self.can_answer),
            "cannot_answer": list(self.cannot_answer),
            "refused": [],
            "strays": strays_as_json(self.strays),
        }


def build_receipt(
    name: str,
    parts: Sequence[Part],
    imports: Sequence[Import],
    notes: Sequence[str],
    strays: tuple[str, ...] = (),
) -> Receipt:
    """The receipt of one file under the name she gave it."""
    # A file that came through a page has no name of its own here, only the number of an open handle.
    name = WHOLE if name.isdigit() else name
    answers = can_answer(
        _filled(
            (part.prepared.kind, part.filled)
            for part in parts
            if part.prepared.taken or part.prepared.already_here
        )
    )
    return Receipt(
        files=tuple(_entry(name, part) for part in parts),
        can_answer=answers.can_answer,
        cannot_answer=answers.cannot_answer,
        requests=_requests(answers),
        notes=tuple(notes),
        imports=tuple(i.pk for i in imports),
        strays=strays,
    )


def reading_notes(source: Source, prepared: Sequence[Prepared], zone: str | None, now: datetime) -> list[str]:
    """What was seen while reading, and what should be doubted: clock, dates to come, site words, ward names."""
    notes = [note for table in source.tables for note in table.notes]
    vouched = [p.vouched for p in prepared if p.vouched]
    return notes + vouched + [warning for p in prepared for warning in _warnings(p, zone, now)]


def joined(
    receipts: Sequence[Receipt], refused: Mapping[str, Refusal] = MappingProxyType({})
) -> JoinedDocument:
    """Several receipts as one document; `notes` are for people and lie beside the contract's fields.

    `refused`: the refusals of files that were not taken, by the file's name.
    """
    columns: dict[str, set[str]] = {}
    for receipt in receipts:
        for entry in receipt.files:
            if entry["taken"] or entry["already_here"]:
                columns.setdefault(entry["kind"], set()).update(entry["mapping"])
    answers = can_answer(columns)
    return {
        "format": FORMAT,
        "files": [entry for receipt in receipts for entry in receipt.files],
        "can_answer": list(answers.can_answer),
        "cannot_answer": list(answers.cannot_answer),
        "refused": [{"file": name, "sentence": str(why)} for name, why in refused.items()],
        "strays": strays_as_json(sorted({name for receipt in receipts for name in receipt.strays})),
        # What is true of the book, or of several files, is said once.
        "notes": list(dict.fromkeys(note for receipt in receipts for note in receipt.notes)),
    }


def book_answers() -> BookAnswers:
    """What everything in the book can and cannot answer, and which columns to ask for."""
    live = Import.objects.in_force().filter(taken__gt=0).values_list("kind", "mapping")
    answers = can_answer(_filled((kind, mapping["filled"]) for kind, mapping in live))
    return {
        "can_answer": list(answers.can_answer),
        "cannot_answer": list(answers.cannot_answer),
        "requests": list(_requests(answers)),
    }


def _filled(tables: Iterable[tuple[str, Iterable[str]]]) -> dict[str, set[str]]:
    columns: dict[str, set[str]] = {}
    for kind, columns_filled in tables:
        columns.setdefault(kind, set()).update(columns_filled)
    return columns


def _requests(answers: Answers) -> tuple[dict[str, str], ...]:
    return tuple({"column": r.column, "ask": r.ask, "why": r.why} for r in answers.requests)


def _entry(name: str, part: Part) -> FileEntry:
    p = part.prepared
    counted = [(c, REASONS) for c in p.reasons] + [(c, REPAIRS) for c in (*p.repairs, *p.remarks)]
    return {
        "file": name if p.table == WHOLE else f"{name}, {p.table}",
        "kind": p.kind,
        "rows": p.rows,
        "taken": p.taken,
        "already_here": p.already_here,
        "set_aside": p.set_aside,
        "repaired": p.repaired,
        "mapping": {column: safe_heading(heading) for column, heading in part.columns.items()},
        "reasons": [
            {"code": c.code, "count": c.count, "example_rows": list(c.rows), "sentence": words[c.code]}
            for c, words in counted
        ],
    }


def _clock_note(with_offset: int, taken: int) -> list[str]:
    """What a file without a zone says of its times; `with_offset` of the readings `taken` say their offset from UTC."""
    hours = "Hours of the day stand as written; --zone Europe/London gives the ward's own."
    if with_offset == taken:
        return [
            f"The times say their own offset from UTC (as Z or +01:00), so no moment is in doubt. {hours}"
        ]
    if with_offset:
        return [
            f"{display.number(with_offset)} of {display.number(taken)} times say their own offset from UTC"
            " (as Z or +01:00). For the others no time zone"
            f" was said (--zone Europe/London), so they are taken as they stand."
        ]
    return ["No time zone was said (--zone Europe/London), so charted times are taken as they stand."]


def _warnings(p: Prepared, zone: str | None, now: datetime) -> list[str]:
    sentences = []
    if p.kind == "readings" and p.taken:
        by_hour = {hour: (mean, n) for hour, n, mean in p.hours}
        low = daily_low_warning([by_hour.get(hour, (0.0, 0)) for hour in range(24)])
        if low:
            sentences.append(low)
        if not zone:
            sentences += _clock_note(p.own_clock, p.taken)
        if p.last is not None and p.last > now.replace(tzinfo=None) + timedelta(days=1):
            sentences.append(
                f"Some readings lie in the future (the last on {display.day(p.last)}). Is the date order right?"
            )
        if p.unsure_sites:
            words = ", ".join(f"{word} ({display.number(n)})" for word, n in p.unsure_sites)
            sentences.append(f"Site words that do not say one site, taken as unknown: {words}.")
        for group in ward_suggestions(p.wards):
            sentences.append(
                f"These may be one ward under several names: {', '.join(group)}. They were kept apart."
            )
    return sentences
