"""What came in and what was left out: every row accounted for."""

from collections.abc import Mapping
from typing import Any

from browline import display
from browline.services.review.report.document import Block, Grid, Paragraph


def left_out(result: Mapping[str, Any], supplement: Mapping[str, Any]) -> list[Block]:
    """Files with their rows, reasons with their counts, dated events, and what was used."""
    blocks: list[Block] = []
    imports = supplement.get("imports") or []
    if imports:
        counted = ("rows", "taken", "already_here", "set_aside", "repaired")
        rows = [(str(i["label"]), str(i["kind"]), *(f"{i[k]:,}" for k in counted)) for i in imports]
        rows.append(("all", "", *(f"{sum(i[k] for i in imports):,}" for k in counted)))
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
    readings = result.get("readings") or {}
    if readings:
        blocks.append(Paragraph(_used(readings)))
    return blocks or [Paragraph("Nothing was recorded about the files.")]


def _events(supplement: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    return sorted(supplement.get("events") or [], key=lambda e: str(e["date"]))


def _used(readings: Mapping[str, Any]) -> str:
    parts = [f"{readings['used']:,} of {readings['total']:,} readings were used"]
    for key in ("patients", "stays", "instruments", "wards"):
        if readings.get(key):
            parts.append(f"{readings[key]:,} {key}")
    return ", ".join(parts) + "."
