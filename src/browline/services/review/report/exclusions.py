"""What came in and what was left out: every row accounted for."""

from browline import display
from browline.services.review.report.document import Block, Grid, Paragraph
from browline.services.review.rows import Document, ReadingsRow
from browline.services.review.supplement_rows import EventRow, Supplement


def left_out(result: Document, supplement: Supplement) -> list[Block]:
    """Files with their rows, reasons with their counts, dated events, and what was used."""
    blocks: list[Block] = []
    imports = supplement.get("imports") or []
    if imports:
        counted = [(i["rows"], i["taken"], i["already_here"], i["set_aside"], i["repaired"]) for i in imports]
        rows: list[tuple[str, ...]] = [
            (str(i["label"]), str(i["kind"]), *(f"{n:,}" for n in numbers))
            for i, numbers in zip(imports, counted, strict=True)
        ]
        rows.append(("all", "", *(f"{sum(numbers):,}" for numbers in zip(*counted, strict=True))))
        headings = ("file", "kind", "rows", "taken", "already here", "set aside", "repaired")
        blocks.append(
            Grid("Files: rows = taken + already here + set aside", headings, tuple(rows), (2, 3, 4, 5, 6))
        )
    exclusions = supplement.get("exclusions") or []
    if exclusions:
        listed = tuple((str(e["sentence"]), f"{e['count']:,}") for e in exclusions)
        blocks.append(Grid("Left out or put right, by reason", ("reason", "rows"), listed, (1,)))
    events = tuple(
        (display.day(e["date"]), str(e["what"]), str(e.get("ward") or "")) for e in _events(supplement)
    )
    if events:
        blocks.append(Grid("Dated events known to this book", ("date", "what", "ward"), events))
    readings = result.get("readings")
    if readings:
        blocks.append(Paragraph(_used(readings)))
    return blocks or [Paragraph("Nothing was recorded about the files.")]


def _events(supplement: Supplement) -> list[EventRow]:
    return sorted(supplement.get("events") or [], key=lambda e: str(e["date"]))


def _used(readings: ReadingsRow) -> str:
    parts = [f"{readings['used']:,} of {readings['total']:,} readings were used"]
    counts = {
        "patients": readings.get("patients"),
        "stays": readings.get("stays"),
        "instruments": readings.get("instruments"),
        "wards": readings.get("wards"),
    }
    parts += [f"{n:,} {key}" for key, n in counts.items() if n]
    return ", ".join(parts) + "."
