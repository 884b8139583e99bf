"""A table as the text of a CSV file, piece by piece, so that a duty can write it without holding it whole."""

import csv
import io
from collections.abc import Iterable, Iterator

from browline.synthetic.arrays import Table

ROWS_AT_ONCE = 50_000


def csv_chunks(table: Table) -> Iterator[str]:
    """The headings, then the rows, as pieces of CSV text (comma, quotes where needed, ``\\r\\n``).

    Source: RFC 4180.

    >>> from browline.synthetic.arrays import texts
    >>> list(csv_chunks({"ward": texts(["1A"]), "value": texts(["36,6"])}))
    ['ward,value\\r\\n', '1A,"36,6"\\r\\n']
    """
    yield _text([tuple(table)])
    rows = len(next(iter(table.values())))
    for begin in range(0, rows, ROWS_AT_ONCE):
        columns = (column[begin : begin + ROWS_AT_ONCE].tolist() for column in table.values())
        yield _text(zip(*columns, strict=True))


def _text(rows: Iterable[Iterable[object]]) -> str:
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()
