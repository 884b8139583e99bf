"""Whose question: "how long until my export is in?" - the whole import against DuckDB's bare CSV to Parquet copy.

The peer reads the same 1,000,000-row CSV and writes Parquet with nothing in between; ours also maps headings,
reads units, times and sites, keys identifiers, recognises repeats, writes durably and commits.
Run: python benchmarks/importing.py [rows]. Prints medians of three runs of each, taken by turns, and their ratio.
"""

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

REPEATS = 3
EXPORT = """
COPY (SELECT printf('P%06d', (random() * 12000)::INT) AS patient, printf('V%07d', (random() * 40000)::INT) AS stay,
    TIMESTAMP '2026-01-01' + to_seconds((random() * 15000000)::BIGINT // 60 * 60) AS time,
    round(36.8 + random() * 2 - 1, 1) AS value, 'C' AS unit, ['Temporal', 'Oral', 'Rectal'][1 + (random() * 2)::INT] AS site,
    printf('TA-%03d', (random() * 200)::INT) AS instrument, printf('%05d', (random() * 1500)::INT) AS person,
    printf('Ward %d', (random() * 30)::INT) AS ward FROM range({rows})) TO '{path}' (HEADER)
"""


def bare(path: Path, target: Path) -> float:
    """Seconds of the peer's copy."""
    import duckdb

    begin = time.perf_counter()
    duckdb.connect().execute(f"COPY (SELECT * FROM read_csv('{path}')) TO '{target}' (FORMAT parquet)")
    return time.perf_counter() - begin


def ours(path: Path, folder: Path) -> float:
    """Seconds of the whole import into a fresh book."""
    from browline.duties.importing import import_file
    from browline.store.book import open_book

    book = open_book(folder)
    begin = time.perf_counter()
    import_file(book, path)
    return time.perf_counter() - begin


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
    peer, own = (statistics.median(r[k] for r in runs) for k in (0, 1))
    print(f"import of {rows:,} rows: ours {own:.2f} s, bare COPY {peer:.2f} s, ratio {own / peer:.1f}")


if __name__ == "__main__":
    main()
