"""Whose question: "how long until my export is in?" - the whole import against DuckDB's bare CSV to Parquet copy.

The peer reads the same 1,000,000-row CSV and writes Parquet with nothing in between; ours also maps headings,
reads units, times and sites, keys identifiers, recognises repeats, writes durably and commits.
Run: python benchmarks/importing.py [rows]. Prints medians of five runs of each, taken by turns, and their ratios:
by the clock, and in CPU seconds of all threads, which other work on the machine disturbs less.
"""

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from browline.settings.launch import set_up_django

REPEATS = 5
EXPORT = """
COPY (SELECT printf('P%06d', (random() * 12000)::INT) AS patient, printf('V%07d', (random() * 40000)::INT) AS stay,
    TIMESTAMP '2026-01-01' + to_seconds((random() * 15000000)::BIGINT // 60 * 60) AS time,
    round(36.8 + random() * 2 - 1, 1) AS value, 'C' AS unit,
    ['Temporal', 'Oral', 'Rectal'][1 + (random() * 2)::INT] AS site,
    printf('FS-%03d', (random() * 200)::INT) AS instrument, printf('%05d', (random() * 1500)::INT) AS person,
    printf('Ward %d', (random() * 30)::INT) AS ward FROM range({rows})) TO '{path}' (HEADER)
"""


Seconds = tuple[float, float]


def timed(deed: Callable[[], object]) -> Seconds:
    """Seconds by the clock and of all processors that a deed takes."""
    begin, worked = time.perf_counter(), time.process_time()
    deed()
    return time.perf_counter() - begin, time.process_time() - worked


def bare(path: Path, target: Path) -> Seconds:
    """The peer's copy."""
    import duckdb

    copy = f"COPY (SELECT * FROM read_csv('{path}')) TO '{target}' (FORMAT parquet)"
    return timed(lambda: duckdb.connect().execute(copy))


def ours(path: Path, folder: Path) -> Seconds:
    """The whole import into a fresh book."""
    set_up_django()
    from browline.services.imports.run import import_file
    from browline.store.book import open_book

    book = open_book(folder)
    return timed(lambda: import_file(book, path))


def main() -> None:
    """Make the export, run both by turns, print the ratio."""
    import duckdb

    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ["BROWLINE_KEYS"] = str(folder / "keys")
        path = folder / "export.csv"
        duckdb.connect().execute(EXPORT.format(rows=rows, path=path))
        runs = [
            (bare(path, folder / "bare.parquet"), ours(path, folder / f"book{k}")) for k in range(REPEATS + 1)
        ][1:]
    for k, kind in enumerate(("s", "CPU s")):
        peer, own = (statistics.median(r[who][k] for r in runs) for who in (0, 1))
        print(
            f"import of {rows:,} rows: ours {own:.2f} {kind}, bare COPY {peer:.2f} {kind}, ratio {own / peer:.1f}"
        )


if __name__ == "__main__":
    main()
