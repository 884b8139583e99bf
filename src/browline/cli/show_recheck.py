"""The answer to a questioned reading on a terminal: plain lines, in the order in which they are needed."""

import textwrap
from collections.abc import Iterable

from browline import display
from browline.documents.recheck import AnswerDocument, RecheckDocument, StepRow, StoryRow

WIDTH = 110


def show_recheck(document: RecheckDocument) -> None:
    """Print every case; numbers and refusals only where there are several."""
    for row in document.cases:
        if len(document.cases) > 1:
            print(f"\nCase {row.case}")
        if row.answer is not None:
            show_answer(row.answer)
        elif len(document.cases) > 1:
            print(f"  Refused: {row.refused}")


def show_answer(answer: AnswerDocument) -> None:
    """Print one answer: whether to escalate, what to act on, what the readings say, what next, and on whose word."""
    _put([answer.escalate, *answer.emergencies, "", answer.act_on, "", answer.says])
    _put(
        [
            *([answer.withheld.says] if answer.withheld else []),
            *([answer.not_used] if answer.not_used else []),
            *answer.notes,
        ]
    )
    steps = [_step(step) for step in answer.steps]
    if answer.withheld:
        _list("What can be read meanwhile", steps)
        _list("What was read", answer.reading_sentences)
    else:
        _list("Where the core is likely to be", [answer.supplement.core, answer.supplement.lines])
        _list("What to do next, what helps most first", steps)
        _list("How the readings may hang together", [_story(story) for story in answer.stories])
        _list("Which reading misled, and how", answer.reading_sentences)
    _list("To heed", answer.cautions)
    if not answer.withheld:
        _list("Where the numbers come from", [source.says for source in answer.sources])


def _story(story: StoryRow) -> str:
    return f"{display.rough_chance(story.chance)}: {story.sentence}"


def _step(step: StepRow) -> str:
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
