"""A question of an import put to her on a terminal: nothing is chosen beforehand, and no answer is a refusal."""

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from browline.errors import Undecided


def until_decided(deed: Callable[[Any], Any], said: Any) -> Any:
    """Do `deed` with what was `said`; where it asks and somebody sits at the terminal, ask and do it again."""
    while True:
        try:
            return deed(said)
        except Undecided as asked:
            if not (sys.stdin.isatty() and sys.stderr.isatty()):
                raise
            said = replace(said, **{asked.code: _answer(asked)})


def _answer(asked: Undecided) -> str:
    """One of the choices, by its word or its number; anything else refuses the file."""
    print(f"{asked.came} {asked.question}", file=sys.stderr)
    for number, choice in enumerate(asked.choices, 1):
        print(f"  {number}  {asked.in_words(choice)} ({choice})", file=sys.stderr)
    print("Type one, or press Enter to leave the file out: ", end="", file=sys.stderr, flush=True)
    given = sys.stdin.readline().strip().lower()
    by_number = {str(number): choice for number, choice in enumerate(asked.choices, 1)}
    answer = by_number.get(given, given)
    if answer not in asked.choices:
        raise asked
    return answer
