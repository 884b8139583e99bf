"""Open whatever file she was given and hand it on as text columns in DuckDB, block by block.

What does this file hold, row by row, as text? Recognised by content first and by name second; read in
blocks, so that memory stays bounded; nothing is written to any disk; every row keeps its number.

    source = open_file(path)
    for table in source.tables:
        for rows in table.blocks(con):          # a temporary view `raw`: row, c0, c1, ..., odd
            con.execute("SELECT row, c0 FROM raw")
"""

from pathlib import Path

from ...intake import fhir_rows
from .columnar import open_parquet
from .fhir import open_fhir
from .letters import digest
from .recognise import Bytes, file_sort, file_start
from .refused import refused
from .sheets import open_sheets
from .table import ODD, Progress, Source, Table
from .text import open_text

__all__ = ["ODD", "Source", "Table", "open_file"]


def open_file(path: Path, *, progress: Progress | None = None) -> Source:
    """Open a file.

    - `progress(done, total)` is called while blocks are read, in bytes of the file (rows for a workbook).

    Raises `InputRefused` where it cannot be read, saying what to do.
    """
    path, report = Path(path), progress or _silent
    if not path.is_file():
        raise refused("There is no such file.", "Check its name and folder.")
    start, packed = file_start(path)
    sort, given = file_sort(start, packed, path), Bytes(path, packed, report)
    sum_ = digest(lambda: path.open("rb"))
    match sort:
        case "text":
            return Source(path, sum_, "csv", (open_text(given),))
        case "workbook":
            return Source(path, sum_, "xlsx", open_sheets(given))
        case "parquet":
            return Source(path, sum_, "parquet", (open_parquet(given),))
        case "fhir":
            return Source(path, sum_, "fhir", (open_fhir(given, fhir_rows),))


def _silent(done: int, total: int) -> None:
    """Progress that nobody watches."""
