"""Whose question: "can my laptop take ten years of charts at once?" - ten million rows, counted and weighed.

The export is the benchmark's, made larger. A process of its own takes it into a fresh book, so that its peak
memory is its own. Every row must be accounted for, and blocks must keep memory bounded: read as one block the
same export was seen to take 2.35 GB, in blocks 0.96 GB.
Run: pytest studies/test_large_import.py -s. It needs about 1.5 GB of disk, given back, and a minute or two.
"""

import json
import os
import runpy
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROWS = 10_000_000
DISK = 3e9  # bytes free before we begin: the export, the staged parts and the readings, with room to spare
BOUND = 1.5e9  # bytes at the peak
GENERATOR = Path(__file__).parent.parent / "benchmarks" / "importing.py"

TAKE = """
import json, resource, sys, time
from pathlib import Path
from browline.settings.launch import set_up_django
set_up_django()
from browline.services.imports.run import import_file
from browline.store.book import open_book

book, begin = open_book(Path(sys.argv[2])), time.perf_counter()
receipt = import_file(book, Path(sys.argv[1]))
print(json.dumps({
    "seconds": time.perf_counter() - begin, "cpu": time.process_time(),
    "peak": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024),
    "entry": receipt.files[0]}))
"""


@pytest.mark.skipif(
    sys.platform == "win32", reason="Windows does not tell a process its peak memory this way"
)
def test_ten_million_rows_add_up_within_bounded_memory(tmp_path):
    import duckdb

    if shutil.disk_usage(tmp_path).free < DISK:
        pytest.skip(f"needs {DISK / 1e9:.0f} GB of free disk")
    export = tmp_path / "export.csv"
    duckdb.connect().execute(runpy.run_path(str(GENERATOR))["EXPORT"].format(rows=ROWS, path=export))
    size = export.stat().st_size
    try:
        done = _take(export, tmp_path)
        entry, kept = done["entry"], list((tmp_path / "book" / "readings").iterdir())
        stored = _stored(kept)
    finally:
        export.unlink()
        shutil.rmtree(tmp_path / "book", ignore_errors=True)
    print(
        f"\nimport of {ROWS:,} rows ({size / 1e6:.0f} MB): {done['seconds']:.1f} s, {done['cpu']:.1f} CPU s, "
        f"peak memory {done['peak'] / 1e9:.2f} GB, {entry['already_here']:,} rows re-sent"
    )
    assert entry["rows"] == entry["taken"] + entry["already_here"] + entry["set_aside"] == ROWS
    assert stored == (entry["taken"], entry["taken"], 2, ROWS + 1), (
        "rows, distinct row numbers, first and last"
    )
    assert len(kept) == 1, "no staged part stays behind"
    assert done["peak"] < BOUND


def _take(export: Path, folder: Path) -> dict:
    keys = os.environ | {"BROWLINE_KEYS": str(folder / "keys")}
    command = [sys.executable, "-c", TAKE, str(export), str(folder / "book")]
    return json.loads(subprocess.run(command, env=keys, capture_output=True, text=True, check=True).stdout)


def _stored(files: list[Path]) -> tuple:
    import duckdb

    counts = "SELECT count(*), count(DISTINCT row), min(row), max(row) FROM read_parquet(?)"
    return duckdb.execute(counts, [[str(f) for f in files]]).fetchone()
