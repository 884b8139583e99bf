"""A rule of site choice, a page and a room nobody needs, added to a copy of the program: dry lenses, and spares.

As a program, it opens a new book and writes what each door says of them: python added_places.py FOLDER.
The copy is on its path; nothing here knows them but by the rows and folders planted.
"""

import json
import os
import shutil
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
# The one place of the rule: its row.
RULE_FILE = "src/browline/site_choice/heed_rules.py"
RULE_ROW = """    row(
        "lens-dry", "caution", "Wait until the lens is dry.", priority=95,
        why="A wet lens reads low.",
    ),
"""
# The one place of the room: a folder. Elsewhere: its name among the rooms.
ROOM = {
    "src/browline/loan_pool/__init__.py": '''"""How many spares does a ward need?

    spares = ceil(share x instruments)

    solve(Problem(instruments=8, share=0.1)) -> 1
"""

from browline.loan_pool.problem import Problem
from browline.loan_pool.spares import solve

__all__ = ["Problem", "solve"]
''',
    "src/browline/loan_pool/problem.py": '''"""What is asked."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """`instruments` of a ward, and the `share` of them, in [0, 1], that is away at once."""

    instruments: int
    share: float
''',
    "src/browline/loan_pool/spares.py": '''"""Spares by the share that is away."""

from math import ceil

from browline.loan_pool.problem import Problem


def solve(problem: Problem) -> int:
    """The spares."""
    return ceil(problem.share * problem.instruments)
''',
}
ROOM_ELSEWHERE = (("tests/test_arrows.py", "ROOMS = {\n", '    "loan_pool",\n'),)
# The one place of the page: a folder. Elsewhere: its address, and a link.
PAGE = {
    "src/browline/web/reports/spares/__init__.py": '"""How many spares to bring."""\n',
    "src/browline/web/reports/spares/urls.py": '''"""Addresses of: How many spares?"""

from django.urls import path

from browline.web.reports.spares import views

urlpatterns = [path("", views.index, name="spares")]
''',
    "src/browline/web/reports/spares/views.py": '''"""How many spares to bring."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.loan_pool import Problem, solve
from browline.web.request import BookRequest


@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page."""
    return render(request, "reports/spares/index.html", {"spares": solve(Problem(instruments=12, share=0.2))})
''',
    "src/browline/web/reports/spares/index.html": """{% extends "frame.html" %}
{% block main %}<h1>How many spares?</h1>
<p>Bring {{ spares }}.</p>{% endblock %}
""",
}
PAGE_ELSEWHERE = (
    (
        "src/browline/web/reports/urls.py",
        '    path("reports/", include("browline.web.reports.index.urls")),\n',
        '    path("spares/", include("browline.web.reports.spares.urls")),\n',
    ),
    (
        "src/browline/web/reports/index/reports.html",
        '<section><h2 id="ask">For the data team</h2>\n',
        "<p><a href=\"{% url 'spares' %}\">How many spares?</a></p>\n",
    ),
)


def copied(folder: Path) -> Path:
    """A copy of the program, of its test of the floors and of the tools in `folder`, with all three added."""
    shutil.copytree(ROOT / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "tools", folder / "tools", ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "tests").mkdir()
    shutil.copy(ROOT / "tests" / "test_arrows.py", folder / "tests" / "test_arrows.py")
    for name, text in (ROOM | PAGE).items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text)
    rule = (RULE_FILE, "CAUTION_RULES = [\n", RULE_ROW)
    for name, before, more in (rule, *ROOM_ELSEWHERE, *PAGE_ELSEWHERE):
        path = folder / name
        text = path.read_text()
        assert text.count(before) == 1, before
        path.write_text(text.replace(before, before + more))
    return folder


def _visit(folder: Path) -> dict[str, str]:
    """What each door says of the rule, and of the page with the room's answer on it."""
    from django.test import Client

    from browline.settings.launch import set_up_django

    set_up_django()

    from browline.store.book import open_book
    from browline.web.access import make_token

    open_book(folder / "book")
    client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    shut = client.get("/spares/")
    client.get(f"/in/{make_token()}/")
    return {
        "stranger": str(shut.status_code),
        "page": client.get("/spares/").content.decode(),
        "page before": client.get("/reports/").content.decode(),
        "document": client.get("/documents/site-and-cover/").content.decode(),
        **_rule(),
    }


def _rule() -> dict[str, str]:
    """The rule as the chooser answers and as the card has it."""
    from browline.site_choice import Patient, card, default, rules_of, solve

    rules = rules_of(default())
    return {
        "answer": json.dumps([rule.says for rule in solve(Patient("5-years-up"), rules).rules]),
        "card": json.dumps([line.rule.says for part in card(rules) for line in part.lines]),
    }


if __name__ == "__main__":
    os.environ["BROWLINE_KEYS"] = str(Path(sys.argv[1]) / "keys")
    print(json.dumps(_visit(Path(sys.argv[1]))))
