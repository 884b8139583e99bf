"""What came in and what was left out: every row accounted for."""

from browline import display
from browline.documents.review import ReadingsRow, ReviewDocument
from browline.documents.supplement import EventRow, ImportRow
from browline.services.review.report.document import Block, Grid, Paragraph


def exclusions(document: ReviewDocument) -> list[Block]:
    """Files with their rows, reasons with their counts, dated events, and what was used."""
    supplement = document.supplement
    blocks: list[Block] = _files(supplement.imports)
    if supplement.exclusions:
        listed = tuple((e.sentence, display.number(e.count)) for e in supplement.exclusions)
        blocks.append(Grid("Left out or put right, by reason", ("reason", "rows"), listed, (1,)))
    events = tuple((display.day(e.date), e.what, e.ward or "") for e in _in_order(supplement.events))
    if events:
        blocks.append(Grid("Dated events known to this book", ("date", "what", "ward"), events))
    if document.readings.total:
        blocks.append(Paragraph(_used(document.readings)))
    return blocks or [Paragraph("Nothing was recorded about the files.")]


def _files(imports: tuple[ImportRow, ...]) -> list[Block]:
    if not imports:
        return []
    counted = [(i.rows, i.taken, i.already_here, i.set_aside, i.repaired) for i in imports]
    rows: list[tuple[str, ...]] = [
        (i.label, i.kind, *map(display.number, numbers)) for i, numbers in zip(imports, counted, strict=True)
    ]
    rows.append(("all", "", *(display.number(sum(numbers)) for numbers in zip(*counted, strict=True))))
    headings = ("file", "kind", "rows", "taken", "already here", "set aside", "repaired")
    return [Grid("Files: rows = taken + already here + set aside", headings, tuple(rows), (2, 3, 4, 5, 6))]


def _in_order(events: tuple[EventRow, ...]) -> list[EventRow]:
    return sorted(events, key=lambda e: e.date)


def _used(readings: ReadingsRow) -> str:
    parts = [f"{display.number(readings.used)} of {display.number(readings.total)} readings were used"]
    counts = {
        "patients": readings.patients,
        "stays": readings.stays,
        "instruments": readings.instruments,
        "wards": readings.wards,
    }
    parts += [f"{display.number(n)} {key}" for key, n in counts.items() if n]
    return ", ".join(parts) + "."
