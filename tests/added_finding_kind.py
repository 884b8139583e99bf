"""A kind of finding nobody needs, added to a copy of the program: readings charted as whole degrees.

As a program, it brings readings into a new book and writes what every door says: python added_finding_kind.py FOLDER.
The copy is on its path; nothing here knows the kind but by the row planted.
"""

import contextlib
import io
import json
import os
import shutil
import sys
from pathlib import Path

import review_schema
import write_reference

ROOT = Path(__file__).parents[1]
KIND = "whole-degrees"
# The one place: its row.
ROW = """    FindingKind(
        id="whole-degrees",
        title="readings in whole degrees",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="whole-degrees",
        place=105,
        sentence=COUNTED + "stand in whole degrees.",
        causes=unweighed("the form has no field for tenths"),
        action="Ask for a field of tenths.",
        ask="Does the form take tenths?",
        help="Please tell us whether the form takes tenths.",
        help_place=5,
        committee="See that tenths can be charted: {names}.",
        whether="whether tenths are charted",
    ),
"""
CATALOGUE = "src/browline/findings/charting.py"
# Elsewhere: the method's number and its call. The contract's schema is written from the catalogue.
ELSEWHERE = (
    ("src/browline/audit/thresholds.py", '    "pace": 0.02,\n', '    "whole-degrees": 0.2,\n'),
    (
        "src/browline/audit/thresholds.py",
        '    out = _marked(problem, "site-missing", lost, eligible)\n',
        '    out += _marked(problem, "whole-degrees", problem.readings.value % 1 == 0, None)\n',
    ),
)


def copied(folder: Path) -> Path:
    """A copy of the program in `folder`, with the kind added."""
    shutil.copytree(ROOT / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__"))
    for name, before, more in ((CATALOGUE, "ROWS = (\n", ROW), *ELSEWHERE):
        path = folder / name
        text = path.read_text()
        assert text.count(before) == 1, before
        path.write_text(text.replace(before, before + more))
    return folder


def _visit(folder: Path) -> dict[str, str]:
    """What every door of this program says of a ward that charts in whole degrees."""
    from browline.cli.main import main

    export, terminal = folder / "export.csv", io.StringIO()
    export.write_text(_chart())
    with contextlib.redirect_stdout(terminal):
        assert not main(["import", str(export), "--book", str(folder / "book"), "--zone", "Europe/London"])
        for ending in ("json", "html", "pdf"):
            where = str(folder / f"review.{ending}")
            assert not main(["review", "--book", str(folder / "book"), f"--{ending}", where])
    return {
        "terminal": terminal.getvalue(),
        "json": (folder / "review.json").read_text(),
        "html": (folder / "review.html").read_text(),
        **_pdf_and_sheet(folder),
        **_pages(),
        "reference": write_reference.written("<!-- written: findings -->\n<!-- end -->"),
        "schema": review_schema.review_schema(),
    }


def _chart() -> str:
    """Three weeks of a ward that charts whole degrees most of the time, and of one that charts tenths."""
    rows = ["ward,time,temp,site"]
    for i in range(504):
        when = f"2026-03-{1 + i // 24:02d} {i % 24:02d}:{7 * i % 60:02d}"
        rows.append(f"Alder,{when},{36 + i % 2 if i % 4 else 36.4 + i % 7 / 10:.1f},oral")
        rows.append(f"Birch,{when},{36.3 + i % 9 / 10:.1f},oral")
    return "\n".join(rows) + "\n"


def _pdf_and_sheet(folder: Path) -> dict[str, str]:
    import openpyxl
    import pypdf

    from browline.cli.writing import write_review
    from browline.store.book import open_book

    path = write_review(open_book(folder / "book"), "xlsx", path=folder / "review.xlsx")
    cells = [str(c.value) for page in openpyxl.load_workbook(path) for row in page for c in row]
    pages = pypdf.PdfReader(folder / "review.pdf").pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    first = " ".join(pages[0].extract_text().split())
    return {"xlsx": "\n".join(cells), "pdf": text, "committee": first}


def _pages() -> dict[str, str]:
    from django.test import Client
    from django.urls import reverse

    from browline.store.models import Finding
    from browline.web.access import make_token

    client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    client.get(f"/in/{make_token()}/")
    found = Finding.objects.get(kind=KIND)
    addresses = {
        "today": reverse("today"),
        "finding": reverse("finding", args=[found.pk]),
        "ward": reverse("ward", args=["Alder"]),
        "other ward": reverse("ward", args=["Birch"]),
    }
    return {name: client.get(address).content.decode() for name, address in addresses.items()}


if __name__ == "__main__":
    os.environ["BROWLINE_KEYS"] = str(Path(sys.argv[1]) / "keys")
    print(json.dumps(_visit(Path(sys.argv[1]))))
