"""What a return demonstration comes to: signed off, or not yet.

A critical step that was missed means not yet; a critical step that nobody saw cannot be signed off either. Other
steps that were missed are teaching points.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from browline.competency.checklist import Step
from browline.errors import NotUnderstood

DONE, MISSED, NOT_SEEN = "done", "missed", "not-seen"
MARKS: dict[str, str] = {DONE: "done", MISSED: "missed", NOT_SEEN: "not seen"}

SIGNED_OFF, NOT_YET = "signed-off", "not-yet"
OUTCOMES: dict[str, str] = {SIGNED_OFF: "signed off", NOT_YET: "not yet"}

# One sentence for each thing there is to say; {steps} are the steps' short names. The phone says the same ones, but
# for a sign-off, which is the book's to say: only the book knows every record that the rules are asked of.
SENTENCES: dict[str, str] = {
    "nothing": "Not yet: no step was seen to be done.",
    "missed": "Not yet: to be practised and seen again on another day: {steps}.",
    "unseen": "Not yet: critical and not seen, so it cannot be signed off: {steps}.",
    "signed-off": "Signed off.",
    "whole": "Marked whole; it counts when the book has taken it.",
    "points": "Worth a word: {steps}.",
}


@dataclass(frozen=True)
class Judgement:
    """The outcome, one of `OUTCOMES`, and the steps it rests on, in the checklist's order."""

    outcome: str
    missed_critical: tuple[Step, ...]
    unseen_critical: tuple[Step, ...]
    missed_other: tuple[Step, ...]
    sentence: str

    @property
    def again(self) -> tuple[Step, ...]:
        """The critical steps to be seen next time."""
        return self.missed_critical + self.unseen_critical


def judge(steps: Sequence[Step], marks: Mapping[str, str]) -> Judgement:
    """Judge the marks by the steps of the version they were made with.

    outcome = signed off  iff  every critical step is done and at least one step is done.

    `marks` holds, by a step's mark, one of `MARKS`; a step left out was not seen.
    Raises `NotUnderstood` where a mark or a step is not known.
    """
    _refuse_unknown(steps, marks)
    missed_critical = _with(steps, marks, MISSED, critical=True)
    unseen_critical = _with(steps, marks, NOT_SEEN, critical=True)
    missed_other = _with(steps, marks, MISSED, critical=False)
    any_done = any(mark == DONE for mark in marks.values())
    outcome = NOT_YET if missed_critical or unseen_critical or not any_done else SIGNED_OFF
    steps_by_sentence = {"missed": missed_critical, "unseen": unseen_critical, "points": missed_other}
    sentence = SENTENCES["nothing"] if not _any_observed(marks) else _sentence(outcome, steps_by_sentence)
    return Judgement(
        outcome=outcome,
        missed_critical=missed_critical,
        unseen_critical=unseen_critical,
        missed_other=missed_other,
        sentence=sentence,
    )


def whole(steps: Sequence[Step], marks: Mapping[str, str]) -> dict[str, str]:
    """The marks of every step in order, those left out as not seen."""
    return {step.id: marks.get(step.id, NOT_SEEN) for step in steps}


def _with(steps: Sequence[Step], marks: Mapping[str, str], mark: str, *, critical: bool) -> tuple[Step, ...]:
    return tuple(s for s in steps if s.critical == critical and marks.get(s.id, NOT_SEEN) == mark)


def _any_observed(marks: Mapping[str, str]) -> bool:
    return any(mark != NOT_SEEN for mark in marks.values())


def _sentence(outcome: str, steps_by_sentence: Mapping[str, tuple[Step, ...]]) -> str:
    parts = [SENTENCES["signed-off"]] if outcome == SIGNED_OFF else []
    if outcome == NOT_YET and not (steps_by_sentence["missed"] or steps_by_sentence["unseen"]):
        parts = [SENTENCES["nothing"]]
    parts += [SENTENCES[key].format(steps=named(steps)) for key, steps in steps_by_sentence.items() if steps]
    return " ".join(parts)


def named(steps: Sequence[Step]) -> str:
    """The short names of some steps, one after the other."""
    return "; ".join(step.name for step in steps)


def _refuse_unknown(steps: Sequence[Step], marks: Mapping[str, str]) -> None:
    strange = sorted(set(marks) - {step.id for step in steps})
    if strange:
        raise NotUnderstood(
            f"The record marks a step {strange[0]!r}.",
            "This version of the checklist has no such step.",
            "Use the version that it was observed with.",
        )
    wrong = sorted({mark for mark in marks.values() if mark not in MARKS})
    if wrong:
        raise NotUnderstood(
            f"A step is marked {wrong[0]!r}.", f"Known are {', '.join(MARKS)}.", "Mark it with one of these."
        )
