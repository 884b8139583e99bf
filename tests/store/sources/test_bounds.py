"""Memory stays bounded, nothing is written to a disk, progress ends at the end, the digest is that of the bytes."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

from browline.store.sources import open_file

ROW = b"2026-03-01 10:05,36.6,P%07d,temporal,T-017,000253,5 West\n"
HEAD = b"time,value,patient,site,instrument,person,ward\n"
ROWS = 3_000_000
# Measured: 470 MB at 3 million rows, 620 MB at 12 million and flat from the third block on; 75 MB is the interpreter.
# The peak is this process's own (VmHWM): getrusage also counts the one that started it, over 1 GB after many tests.
BOUND_MB = 900
PASS = """
import sys, duckdb
from pathlib import Path
from browline.store.sources import open_file
con = duckdb.connect(config={"threads": 2})
for setting in ("temp_directory=''", "enable_progress_bar=false"):  # as the working memory has it
    con.execute("SET " + setting)
(table,) = open_file(Path(sys.argv[1])).tables
rows = sum(table.blocks(con))
status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines() if ":" in line)
print(rows, int(status["VmHWM"].split()[0]) // 1024)
"""


@pytest.mark.slow
def test_memory_of_three_million_rows_stays_under_its_bound(tmp_path: Path):
    path = tmp_path / "long.csv"
    block = b"".join(ROW % i for i in range(100_000))
    with path.open("wb") as out:
        out.write(HEAD)
        for _ in range(ROWS // 100_000):
            out.write(block)
    before = set(tmp_path.iterdir())
    said = subprocess.run(
        [sys.executable, "-c", PASS, str(path)],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "TMPDIR": str(tmp_path)},
        cwd=tmp_path,
    )
    count, megabytes = map(int, said.stdout.split())
    assert count == ROWS
    assert megabytes < BOUND_MB
    assert set(tmp_path.iterdir()) == before


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "cp1252"])
def test_nothing_is_written_while_a_file_is_read(encoding, tmp_path, con, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path / "temporary"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "temporary").mkdir()
    path = tmp_path / "export.csv"
    path.write_bytes(
        ("time;value;ward\n" + "10:00;36,6 °C;5 West\n" * 5000 + '11:00;37,0;"5\n').encode(encoding)
    )
    for _ in open_file(path).tables[0].blocks(con):
        assert sorted(p.name for p in tmp_path.rglob("*")) == ["export.csv", "temporary"]
        files = {os.readlink(f"/proc/self/fd/{fd}") for fd in os.listdir("/proc/self/fd") if _is_open(fd)}
        assert not any(f.startswith(str(tmp_path)) and not f.endswith("export.csv") for f in files)


def _is_open(fd: str) -> bool:
    return os.path.lexists(f"/proc/self/fd/{fd}")


def test_progress_counts_the_bytes_of_the_file_to_its_end(tmp_path, con):
    path = tmp_path / "export.csv"
    path.write_bytes(HEAD + b"".join(ROW % i for i in range(60_000)))
    told: list[tuple[int, int]] = []
    source = open_file(path, progress=lambda done, total: told.append((done, total)))
    assert told == []
    list(source.tables[0].blocks(con))
    assert told[-1] == (path.stat().st_size, path.stat().st_size)
    assert told == sorted(told)


def test_the_digest_is_sha256_of_the_bytes(tmp_path):
    path = tmp_path / "export.csv"
    path.write_bytes(HEAD + ROW % 1)
    assert open_file(path).digest == hashlib.sha256(path.read_bytes()).hexdigest()


def test_a_message_of_the_reader_never_carries_a_cell(tmp_path, con, capfd, caplog):
    """DuckDB's own message quotes the line; the row comes the careful way and nothing is said."""
    path = tmp_path / "export.csv"
    path.write_bytes(b"time,value,ward\n" + b"10:00,36.6,5W\n" * 50 + b"11:00,36.6,Ann Other,5W,x\n" * 2)
    assert sum(open_file(path).tables[0].blocks(con)) == 52
    said = capfd.readouterr()
    assert "Ann" not in said.out + said.err + caplog.text
