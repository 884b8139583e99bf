"""Parquet written by DuckDB itself comes back as text in the order of the file."""

import duckdb
import pytest

from browline.store.sources import columnar, open_file


def test_every_type_as_text_and_rows_from_one(con, tmp_path, rows, monkeypatch):
    monkeypatch.setattr(columnar, "BLOCK", 3)
    path = tmp_path / "export.parquet"
    con.execute(
        'COPY (SELECT TIMESTAMP \'2026-03-01 10:05:00\' + i * INTERVAL 1 HOUR AS "chart ""time", '
        "36.6 + i / 10 AS value, CASE WHEN i = 3 THEN NULL ELSE 'temporal' END AS site, i AS stay, "
        f"'' AS nothing FROM range(8) t(i)) TO '{path}' (FORMAT parquet)"
    )
    source = open_file(path)
    (table,) = source.tables
    assert source.format == "parquet"
    assert table.headings == ('chart "time', "value", "site", "stay", "nothing")
    found = rows(table)
    assert [r[0] for r in found] == list(range(1, 9))
    assert found[3] == (4, "2026-03-01 13:05:00", "36.9", None, "3", None, None)


def test_a_file_damaged_in_its_middle_is_refused_in_words(con, tmp_path):
    from browline.errors import InputRefused

    path = tmp_path / "export.parquet"
    con.execute(
        f"COPY (SELECT i::VARCHAR AS a, hash(i) AS b FROM range(50000) t(i)) TO '{path}' (FORMAT parquet)"
    )
    data = bytearray(path.read_bytes())
    data[2000:60000] = bytes(58000)
    path.write_bytes(data)
    (table,) = open_file(path).tables
    with pytest.raises(InputRefused, match="damaged"):
        list(table.blocks(con))
    assert isinstance(con, duckdb.DuckDBPyConnection)
