"""One question: where is the core, which readings misled, and what next?"""

import numpy as np

from browline.questioned.beam_search import search
from browline.questioned.causes import misled, stories
from browline.questioned.crossing import crossing
from browline.questioned.decision_loss import ACTS, losses, outcome
from browline.questioned.mixture import core
from browline.questioned.problem import Problem
from browline.questioned.result import Result
from browline.questioned.steps import steps as next_steps
from browline.questioned.trace import trace
from browline.questioned.transition import CORE

# Hypotheses times readings that a question may cost; between these ends.
WORK, LEAST, MOST = 28_000, 1400, 12_000


def solve(problem: Problem, *, steps: bool = True, beam: int | None = None) -> Result:
    """The whole answer to a question; see `Result`.

    `steps`: whether to weigh what to do next, which takes about as long as all the rest. `beam`: at most so many
    hypotheses are kept after each reading; None: as many as an answer at once allows. Cost grows in proportion to
    readings times `beam`.

    >>> from browline.questioned import Problem, Reading
    >>> result = solve(Problem((Reading(39.2, "temporal", 4.0, "A"), Reading(39.0, "oral", 1.0))))
    >>> result.outcome.name, result.act_as
    ('AT_OR_OVER', 'fever')
    """
    # Kernels and SciPy are fetched with the first question: the pages open without them.

    width = min(MOST, max(LEAST, WORK // len(problem.readings))) if beam is None else beam
    timeline, final = search(problem, width)
    weight, hypotheses = np.exp(final.log_weight), final.hypotheses
    now = core(
        weight,
        hypotheses.x[:, CORE],
        hypotheses.P[:, CORE, CORE],
        problem.fever_c,
        problem.low_c,
    )
    traced = trace(problem, timeline, final)
    loss = losses(now.fever, now.low, problem.costs)
    return Result(
        outcome=outcome(now.fever, now.low),
        now=now,
        misled=misled(problem, traced),
        stories=stories(problem, traced),
        steps=next_steps(problem, timeline, final) if steps else (),
        act_as=ACTS[int(loss.argmin())],
        loss=float(loss.min()),
        safer=crossing(problem).safer,
        left_out=final.left_out,
    )
