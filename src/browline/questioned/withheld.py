"""The answer where no chance may be told: what to act on, that nothing here argues against acting, what to read next.

The model is not asked for it, so there is no number that could be shown by mistake.
"""

from browline.quantities.sites import TEMPORAL
from browline.questioned.candidates import Candidate, candidates
from browline.questioned.crossing import crossing
from browline.questioned.explain import (
    DELAY,
    GROUPS,
    PURPOSE,
    REPEATABLE,
    Explained,
    act_on,
    named,
    next_step,
)
from browline.questioned.problem import Problem
from browline.questioned.result import Step

CANNOT_ARGUE = "These readings cannot argue against acting. Escalate now, whatever they say."
NOTHING_RECENT = (
    "No reading here is of the last {:g} minutes, so none can say how the patient is now. Read again now."
)
READ_AGAIN = "Read again now, and go by the patient meanwhile; worried, escalate now."
CROSSED_THEN = (
    "A line was crossed when it was last read, and nothing newer takes that back: "
    "until it is read again, act on that."
)
MEANWHILE = "Care goes on meanwhile."


def withheld(problem: Problem, *, recent: bool, at_risk: bool, speaks_minutes: float) -> Explained:
    """The answer in words. `recent`: some reading may still speak; `at_risk`: the patient is one who is not weighed."""
    says = [] if recent else [NOTHING_RECENT.format(speaks_minutes)]
    says += [CANNOT_ARGUE] if at_risk else []
    sites = [reading.site for reading in problem.readings]
    beside = [REPEATABLE] if len(set(sites)) < len(sites) else []
    beside += [GROUPS] if TEMPORAL in sites else []
    return Explained(
        act_on=act_on(problem) if recent else _read_again(problem),
        says=" ".join(says),
        core="",
        at_lines="",
        ways=(),
        readings=tuple(f"{named(reading)}." for reading in problem.readings) if recent else (),
        steps=tuple(next_step(step, MEANWHILE) for step in to_read(problem)),
        beside=(*beside, PURPOSE),
    )


def _read_again(problem: Problem) -> str:
    """No reading is used and none named; that the last ones crossed a line still asks for care."""
    crossed = f"{CROSSED_THEN} " if crossing(problem).readings else ""
    return f"{READ_AGAIN} {crossed}{DELAY}"


def to_read(problem: Problem) -> tuple[Step, ...]:
    """What may be read next, unweighed: a core probe in place first, the rectum after the others, barred ones last."""
    steps = [
        _step(problem, candidate) for candidate in candidates(problem) if candidate.kind != "repeat-later"
    ]
    return tuple(
        sorted(steps, key=lambda step: (bool(step.barred), step.kind != "core-probe", step.site == "rectal"))
    )


def _step(problem: Problem, candidate: Candidate) -> Step:
    barred = problem.contraindications.get(candidate.site, "")
    return Step(
        kind=candidate.kind,
        site=candidate.site,
        wait_minutes=candidate.wait_minutes,
        drop=0.0,
        settles=0.0,
        fever_from_c=None,
        no_fever_to_c=None,
        barred=barred,
    )
