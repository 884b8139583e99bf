"""A kind of import and a measuring site nobody needs, added to a copy of the program: deliveries, and the wrist.

As a program, it brings a file of deliveries into a new book and writes what each door says of both:
python added_import_and_site.py FOLDER. The copy is on its path; nothing here knows them but by the rows planted.
"""

import contextlib
import io
import json
import os
import shutil
import sys
from pathlib import Path

import write_reference

ROOT = Path(__file__).parents[1]
KIND, SITE = "deliveries", "wrist"
# The one place of the kind: a file of its own.
KIND_FILE = "src/browline/columns/deliveries.py"
KIND_ROW = '''"""Deliveries of thermometers to wards."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.events import EVENTS
from browline.columns.shared import TIME, WARD

DELIVERIES = ImportKind(
    id="deliveries",
    title="deliveries of thermometers",
    answers="When instruments came to a ward.",
    signs=Signs(rank=0, headings=("what",), words="delivery delivered"),
    identity=("time", "what", "ward"),
    columns=(
        Column("time", "time", True, "when they came", headings=TIME),
        EVENTS.columns[1],
        Column("ward", "word", False, "where to", headings=WARD),
    ),
)  # fmt: skip
'''
# Elsewhere: its name in the catalogue, and the register that its rows go to.
KIND_ELSEWHERE = (
    (
        "src/browline/columns/__init__.py",
        "from browline.columns.events import EVENTS\n",
        "from browline.columns.deliveries import DELIVERIES\n",
    ),
    ("src/browline/columns/__init__.py", "ROWS = (\n", "    DELIVERIES,\n"),
    (
        "src/browline/store/importing/register_rows.py",
        '    "events": model_register("events", DatedEvent),\n',
        '    "deliveries": model_register("deliveries", DatedEvent),\n',
    ),
)
# The one place of the site: its row.
SITE_FILE = "src/browline/quantities/sites.py"
SITE_ROW = """    MeasuringSite(
        code="wrist", name="wrist", charted=("wrist", "radial"),
        ready="sleeve moved aside for a minute",
        way=Way("wrist", 55, "scan across the wrist", "wrist, inner side"),
    ),
"""
# Elsewhere: the numbers of the method.
SITE_ELSEWHERE = (
    (
        "src/browline/questioned/published.py",
        "SITES = MappingProxyType(\n    {\n",
        '        "wrist": Site(-0.6, 0.7, 0.5, 0.4, lags=((3.0, 1.0),), kind=SCAN, slip=LOW_SLIP, conditions=(),\n'
        "            source=NO_FIGURE),\n",
    ),
)


def copied(folder: Path) -> Path:
    """A copy of the program in `folder`, with the kind and the site added."""
    shutil.copytree(ROOT / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__"))
    (folder / KIND_FILE).write_text(KIND_ROW)
    site = (SITE_FILE, "ROWS: tuple[MeasuringSite, ...] = (\n", SITE_ROW)
    for name, before, more in (site, *KIND_ELSEWHERE, *SITE_ELSEWHERE):
        path = folder / name
        text = path.read_text()
        assert text.count(before) == 1, before
        path.write_text(text.replace(before, before + more))
    return folder


def _visit(folder: Path) -> dict[str, str]:
    """What each door says of the kind and of the site."""
    marks = "".join(f"<!-- written: {name} -->\n<!-- end -->\n" for name in ("kinds", "columns", "sites"))
    return {
        **_imports(folder),
        **_chooser_and_card(),
        **_pages(),
        "reference": write_reference.written(marks),
    }


def _imports(folder: Path) -> dict[str, str]:
    """A file of deliveries, its kind not given, and a chart of the wrist, brought in by the command."""
    from browline.cli.main import main

    book, deliveries, chart = str(folder / "book"), folder / "came.csv", folder / "chart.csv"
    deliveries.write_text("Delivered,Description,Ward\n2026-03-07 09:00,4 scanners,Alder\n")
    chart.write_text("time,temp,site\n2026-03-07 09:00,36.6,Wrist\n2026-03-07 10:00,36.7,oral\n")
    receipt, again, readings = (io.StringIO() for _ in range(3))
    for file, out in ((deliveries, receipt), (deliveries, again), (chart, readings)):
        with contextlib.redirect_stdout(out):
            assert not main(["import", str(file), "--book", book, "--zone", "Europe/London", "--json", "-"])
    help_text = io.StringIO()
    with contextlib.redirect_stdout(help_text), contextlib.suppress(SystemExit):
        main(["import", "--help"])
    return {
        "receipt": receipt.getvalue(),
        "receipt again": again.getvalue(),
        "help": " ".join(help_text.getvalue().split()),
        "sites read": json.dumps(_sites_read(book)),
    }


def _sites_read(book: str) -> list[str]:
    from browline.store.book import open_book
    from browline.store.memory import working_memory
    from browline.store.readings import reading_files

    (path,) = reading_files(open_book(Path(book))).values()
    rows = working_memory().execute(f"SELECT site FROM read_parquet('{path}') ORDER BY time").fetchall()
    return [site for (site,) in rows]


def _chooser_and_card() -> dict[str, str]:
    """The site as rules are edited, as a rule that names it answers, and as the card has it."""
    from browline.questioned import Problem, Reading, explain, solve
    from browline.site_choice import LAYOUT, card, default, rules_of

    (field,) = (one for one in LAYOUT.fields if one.name == "sites")
    rule = default()["rows"][0] | {
        "id": "wrist", "kind": "site", "when": [], "sites": ["wrist"], "says": "The wrist.", "priority": 99,
    }  # fmt: skip
    rules = rules_of({"rows": [rule, *default()["rows"]]})
    lines = [line for part in card(rules) for line in part.lines if line.rule.id == "wrist"]
    problem = Problem((Reading(36.9, "oral", 10), Reading(38.5, "wrist", 4)))
    return {
        "chooser": field.choices["wrist"],
        "card": json.dumps([line.sites for line in lines]),
        "answer": repr(explain(problem, solve(problem))),
    }


def _pages() -> dict[str, str]:
    """The mapping form, the receipt and the desk."""
    from django.test import Client
    from django.urls import reverse

    from browline.store.models import Import
    from browline.web.access import make_token
    from browline.web.readings.imports.forms import TableForm

    client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    client.get(f"/in/{make_token()}/")
    number = Import.objects.get(kind=KIND).pk
    return {
        "mapping form": json.dumps(dict(TableForm.base_fields["kind"].choices)),
        "receipt page": client.get(reverse("receipt", args=[number])).content.decode(),
        "desk": client.get(reverse("questioned")).content.decode(),
    }


if __name__ == "__main__":
    os.environ["BROWLINE_KEYS"] = str(Path(sys.argv[1]) / "keys")
    print(json.dumps(_visit(Path(sys.argv[1]))))
