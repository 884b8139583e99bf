"""The answer to a questioned reading on a terminal: plain lines, in the order in which they are needed."""

import textwrap
from collections.abc import Iterable

from browline.questioned.explain import Next
from browline.services.questioned.desk import Answer

WIDTH = 110


def show_answer(one: Answer) -> None:
    """Print one answer: whether to escalate, what to act on, what the readings say, what next, and on whose word."""
    told = one.told
    _put([one.escalate, *one.emergencies, "", told.act_on, "", told.says])
    _put(
        [
            *([one.withheld.says] if one.withheld else []),
            *([one.not_used] if one.not_used else []),
            *one.notes,
        ]
    )
    if one.withheld:
        _list("What can be read meanwhile", [_step(step) for step in told.steps])
        _list("What was read", told.readings)
    else:
        _list("Where the core is likely to be", [told.core, told.at_lines])
        _list("What to do next, what helps most first", [_step(step) for step in told.steps])
        _list("How the readings may hang together", [f"{way.chance}: {way.says}" for way in told.ways])
        _list("Which reading misled, and how", told.readings)
    _list("To heed", one.cautions)
    if not one.withheld:
        _list("Where the numbers come from", [source.says for source in one.sources])


def _step(step: Next) -> str:
    if step.barred:
        return f"Not: {step.do} {step.barred}"
    heed = f" {step.heed[0].upper()}{step.heed[1:]}." if step.heed else ""
    return f"{step.do} ({step.wait}){heed} {step.brings}"


def _list(title: str, lines: Iterable[str]) -> None:
    lines = list(lines)
    if not lines:
        return
    print(f"\n{title}:")
    for line in lines:
        print(textwrap.fill(line, WIDTH, initial_indent="  - ", subsequent_indent="    "))


def _put(lines: Iterable[str]) -> None:
    for line in lines:
        print(textwrap.fill(line, WIDTH))
