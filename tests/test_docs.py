"""The documents written hold against the program: columns, JSON, choices, links; and nothing that must not be said."""

import json
import re
import subprocess
from collections import Counter
from pathlib import Path

import pytest

from browline.columns import reference_rows
from browline.quantities import SITES
from browline.services.book.preferences import CHOICES

ROOT = Path(__file__).parents[1]
REFERENCE = (ROOT / "docs" / "reference.md").read_text()
SCHEMA = json.loads((ROOT / "docs" / "schema" / "review.json").read_text())
PAGES = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")]
# Pages on the program as it is; decisions and changes tell of earlier ones.
CURRENT = [page for page in PAGES if "decisions" not in page.parts and page.name != "CHANGELOG.md"]
PATHS = [
    f"/{path.relative_to(ROOT).as_posix()}"
    for folder in ("src", "tests", "tools", "studies", "benchmarks")
    for path in (ROOT / folder).rglob("*")
]


def _example(name):
    return json.loads(re.search(rf"```json {name}\n(.*?)```", REFERENCE, re.DOTALL)[1])


def _keys(schema):
    """Property names of a schema, nested ones below their own name, references followed."""
    schema = {**schema, **(SCHEMA["$defs"][schema["$ref"].split("/")[-1]] if "$ref" in schema else {})}
    properties = dict(schema.get("properties", {}))
    for part in schema.get("allOf", []):
        properties.update(
            {**part, **SCHEMA["$defs"].get(part.get("$ref", "").split("/")[-1], {})}.get("properties", {})
        )
    for part in schema.get("anyOf", []):
        properties.update(_keys(part))
    if "items" in schema:
        return _keys(schema["items"])
    return {name: _keys(part) for name, part in properties.items()}


def _shape(example):
    if isinstance(example, list):
        return _shape(example[0]) if example else {}
    return {name: _shape(part) for name, part in example.items()} if isinstance(example, dict) else {}


def test_the_review_in_the_reference_is_the_schema():
    wanted = _keys(SCHEMA)
    for only_with_people in ("people", "people_not_listed"):
        wanted.pop(only_with_people)
        assert f"`{only_with_people}`" in REFERENCE
    assert _shape(_example("review")) == wanted


def test_the_receipt_in_the_reference_is_what_an_import_gives(book, export):
    from browline.errors import InputRefused
    from browline.services.imports.receipts import joined
    from browline.services.imports.run import import_file

    one = import_file(book, export("stay,time,temp\nV1,2026-03-07 06:00,36.6\nV1,2026-03-07 06:05,LO\n"))
    receipt = joined([one], {"minutes.csv": InputRefused("Came.", "Wanted.", "Do.")})
    assert set(one.as_json()) == set(receipt) - {"notes"}
    receipt["files"][0]["mapping"] = {}
    assert _shape(receipt) == _shape(_example("receipt"))


def test_columns_sites_and_choices_in_the_reference_are_the_programs():
    for row in reference_rows():
        assert f"\n| {' | '.join(row)} |\n" in REFERENCE, row
    told = REFERENCE.split("## Sites")[1].split("## Receipt")[0]
    assert set(re.findall(r"^\| `([a-z-]+)` \|", told, re.MULTILINE)) == set(SITES)
    choices = re.findall(
        r"^\| `([a-z_]+)` \|", REFERENCE.split("## Choices")[1].split("## Columns")[0], re.MULTILINE
    )
    assert choices == list(CHOICES)


def test_the_glossary_has_every_word_once():
    """A word is the head of a row, or stands in italics in the row of the word that it is another name of."""
    rows = (ROOT / "docs" / "glossary.md").read_text().split("|---|---|---|\n")[1].splitlines()
    heads = [word.strip(" *") for row in rows for word in row.split("|")[1].split(",")]
    others = [word for row in rows for word in re.findall(r"\*([^*]+)\*", row.split("|", 2)[2])]
    assert len(heads) > 60
    assert [word for word, n in Counter(heads).items() if n > 1] == []
    assert set(others) & set(heads) <= {"not yet"}


@pytest.mark.parametrize("page", CURRENT, ids=lambda p: str(p.relative_to(ROOT)))
def test_files_of_the_program_that_a_page_names_are_there(page):
    """By name or by the end of its path; decisions are history and keep the names of their day."""
    named = r"`([\w./-]*[\w-]+\.(?:py|R|html|typ)|(?:src|tests|tools|studies)/[\w/]+)`"
    for name in re.findall(named, page.read_text()):
        assert any(path.endswith(f"/{name}") for path in PATHS), name


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_links_and_pictures_are_there(page):
    for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text()):
        assert (page.parent / target).exists(), target


def test_make_knows_the_commands_that_the_readme_gives():
    makefile = (ROOT / "Makefile").read_text()
    for target in set(re.findall(r"^    make (\w+)", (ROOT / "README.md").read_text(), re.MULTILINE)):
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target


def test_no_machine_path_and_no_registry_host_is_named():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode:
        pytest.skip("not a git checkout")
    wrong = re.compile(r"(?<![\w.])/(w[o]rk|tmp/x|root|home)/|pypi\.org|files\.pythonhosted|registry\.npmjs")
    found = []
    for name in listed.stdout.splitlines():
        path = ROOT / name
        if (
            path.suffix in (".py", ".md", ".toml", ".txt", ".lock", ".html", ".typ", ".css", ".R", "")
            and path.is_file()
        ):
            found += [name for line in path.read_text(errors="ignore").splitlines() if wrong.search(line)]
    assert [name for name in found if name != "tests/test_docs.py"] == []


def test_what_the_reference_says_of_slopes_drift_and_verdicts_is_what_the_program_does():
    from browline.variation import days_since_cleaning, drift, identifiable
    from browline.variation.training.verdict import Verdict

    review = " ".join(REFERENCE.split("## Review")[1].split("```json review")[0].split())
    told = re.search(r"\| verdict \| meaning \|(.*?)<!--", review)[1]
    assert re.findall(r"\| `([a-z-]+)` \|", told) == [v.value for v in Verdict]
    slope = re.search(
        r"`slope` is .*?: (\d+) stays or more with both, (\d+) readings .*? least ([\d.]+) °C", review
    )
    asked = (identifiable.SLOPE_STAYS, identifiable.SLOPE_READINGS, identifiable.SLOPE_SPAN_C)
    assert (int(slope[1]), int(slope[2]), float(slope[3])) == asked
    sunk = re.search(
        r"fewer than (\d+) readings of at least (\d+) instruments .*? fewer than (\d+) of the", review
    )
    asked = (
        days_since_cleaning.FEWEST_READINGS,
        days_since_cleaning.FEWEST_INSTRUMENTS,
        drift.FEWEST_READINGS,
    )
    assert tuple(map(int, sunk.groups())) == asked
    assert "In this version" not in review
