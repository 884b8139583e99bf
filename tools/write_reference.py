"""The reference's parts that the program knows, written from its catalogues, types and commands.

    python tools/write_reference.py       writes them into docs/reference.md, each between its two marks

What stands outside the marks is written by hand: what no catalogue says.
"""

import re
from collections.abc import Callable
from pathlib import Path

from browline.settings.launch import set_up_django

set_up_django()

import reference_commands as of_commands  # noqa: E402
import reference_json as of_json  # noqa: E402
import reference_tables as tables  # noqa: E402

TARGET = Path(__file__).parents[1] / "docs" / "reference.md"
PART = re.compile(r"<!-- written: ([a-z-]+) -->\n.*?<!-- end -->", re.DOTALL)
PARTS: dict[str, Callable[[], str]] = {
    "commands": of_commands.commands,
    "exit-status": of_commands.exits,
    "choices": tables.choices,
    "kinds": tables.kinds,
    "columns": tables.columns,
    "sites": tables.sites,
    "reasons": tables.reasons,
    "review": of_json.review,
    "verdicts": tables.verdicts,
    "findings": tables.findings,
    "outcomes": tables.outcomes,
    "plan-outcomes": tables.plan_outcomes,
    "unreached": tables.unreached,
    "coverage": of_json.coverage,
    "pathway-lines": tables.pathway_lines,
    "log-words": tables.log_words,
    "recheck-words": tables.recheck_words,
    "recheck": of_json.recheck,
    "audit": of_json.audit,
    "audit-tests": tables.tests,
    "signals": tables.signals,
    "model": of_json.model,
}


def written(text: str) -> str:
    """The reference with every marked part as the program has it now. KeyError for a mark that names no part."""
    return PART.sub(lambda mark: _marked(mark[1]), text)


def marks(text: str) -> list[str]:
    """The parts that the reference has marks for, in order."""
    return PART.findall(text)


def _marked(name: str) -> str:
    return f"<!-- written: {name} -->\n\n{PARTS[name]()}\n\n<!-- end -->"


if __name__ == "__main__":
    TARGET.write_text(written(TARGET.read_text(encoding="utf-8")), encoding="utf-8")
