"""A question of an import put to her on a terminal: nothing is chosen beforehand, and no answer is a refusal."""

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from browline.errors import Undecided


def until_decided(action: Callable[[Any], Any], answers: Any) -> Any:
    """Do `action` with these answers; where it asks and somebody sits at the terminal, ask and do it again."""
    while True:
        try:
            return action(answers)
        except Undecided as undecided:
            if not (sys.stdin.isatty() and sys.stderr.isatty()):
                raise
            answers = replace(answers, **{undecided.code: _answer(undecided)})


def _answer(undecided: Undecided) -> str:
    """One of the choices, by its word or its number; anything else refuses the file."""
    print(f"{undecided.came} {undecided.question}", file=sys.stderr)
    for number, choice in enumerate(undecided.choices, 1):
        print(f"  {number}  {undecided.in_words(choice)} ({choice})", file=sys.stderr)
    print("Type one, or press Enter to leave the file out: ", end="", file=sys.stderr, flush=True)
    given = sys.stdin.readline().strip().lower()
    by_number = {str(number): choice for number, choice in enumerate(undecided.choices, 1)}
    answer = by_number.get(given, given)
    if answer not in undecided.choices:
        raise undecided
    return answer
