"""The answer in a nurse's words, as data. Temperatures stand in braces, to be shown in both units."""

from dataclasses import dataclass

from browline import display
from browline.quantities.sites import CATALOGUE, SITE_NAMES, TEMPORAL
from browline.questioned.crossing import crossing
from browline.questioned.problem import Problem, Reading
from browline.questioned.result import MISLEADS_C, Misled, Outcome, Result, Step, Story
from browline.questioned.words import CAUSES, STEPS, STORIES

REPEATABLE = (
    "Readings of one site that agree show that it repeats, not that it is right: what they share "
    "stays possible."
)
GROUPS = (
    "Forehead readings may miss more fevers in some groups of patients (published, and disputed): confirm at another "
    "site early."
)
PURPOSE = (
    "For teaching, debrief and review. It does not diagnose: local policy and licensed judgement come first, and a "
    "patient who looks ill is escalated whatever this says."
)
DELAY = "No step below is a reason to delay care."
NO_LINE = "No reading crosses a line, high or low. Go by the patient; worried, escalate now."
COSTS = "What speaks for acting counts a missed fever {:g} times, and a missed low {:g} times, as dear as a false one."
LEFT_OUT = "The search let go of about {} in 100 of what is possible, so a chance may be off by a few in 100."
LEFT_OUT_TELL = 0.05


@dataclass(frozen=True)
class Way:
    """One way in which the readings hang together: what it says, how likely in words, and which readings it touches."""

    says: str
    chance: str
    readings: tuple[int, ...]


@dataclass(frozen=True)
class Next:
    """One step: what to do, what to heed, the wait, what it may bring, and why it is barred (empty: it is not)."""

    do: str
    heed: str
    wait: str
    brings: str
    barred: str


@dataclass(frozen=True)
class Explained:
    """The answer as it is read, from the top. `readings`: one sentence for each reading of the problem, in its order.

    The sentence about escalating stands before all of this; it has its home with the rules of site and cover.
    """

    act_on: str
    says: str
    core: str
    at_lines: str
    ways: tuple[Way, ...]
    readings: tuple[str, ...]
    steps: tuple[Next, ...]
    beside: tuple[str, ...]


def explain(problem: Problem, result: Result) -> Explained:
    """A result in words."""
    return Explained(
        act_on=act_on(problem),
        says=_says(problem, result),
        core=f"The core is probably near {_c(result.now.mean_c)}: between {_c(result.now.low_c)} and "
        f"{_c(result.now.high_c)} in 95 of 100 such cases.",
        at_lines=f"At or over the fever line, {_c(problem.fever_c)}: {display.rough_chance(result.now.fever)}. "
        f"Under the low line, {_c(problem.low_c)}: {display.rough_chance(result.now.low)}.",
        ways=tuple(_way(story) for story in result.stories),
        readings=tuple(_reading(*pair) for pair in zip(problem.readings, result.misled, strict=True)),
        steps=tuple(_next(step) for step in result.steps),
        beside=_beside(problem, result),
    )


def act_on(problem: Problem) -> str:
    """The readings to act on: the one that crosses a line, both where both lines are crossed, no number else."""
    readings = [named(problem.readings[k]) for k in crossing(problem).readings]
    if not readings:
        return f"{NO_LINE} {DELAY}"
    if len(readings) == 2:
        return f"Lines are crossed on both sides, so act on both: {readings[0]}; and {readings[1]}. {DELAY}"
    return f"Until it is settled, act on the safer reading: {readings[0]}. {DELAY}"


def _says(problem: Problem, result: Result) -> str:
    leading = next((story for story in result.stories if story.what != "agree"), None)
    best = next((step for step in result.steps if not step.barred), None)
    if result.outcome is Outcome.NOT_SETTLED:
        would = f" What would most likely do so: {_lower(_do(best))}" if best else ""
        return f"These readings cannot settle it.{would}"
    point = {
        Outcome.AT_OR_OVER: f"The readings together point to a core at or over {_c(problem.fever_c)}.",
        Outcome.LOW: f"The readings together point to a core under {_c(problem.low_c)}.",
        Outcome.UNDER: f"The readings together point to a core between {_c(problem.low_c)} and {_c(problem.fever_c)}.",
    }[result.outcome]
    cause = f" {_story(leading)}" if leading and result.stories[0] is leading else ""
    return point + cause + " That is no reason not to escalate a patient who looks ill."


def _way(story: Story) -> Way:
    return Way(_story(story), display.rough_chance(story.chance), story.readings)


def _story(story: Story) -> str:
    site = SITE_NAMES.get(story.site, "site")
    says = STORIES[story.what].format(
        site=site, instrument=story.instrument or f"the instrument of the {site}"
    )
    shared = (
        " It is one cause for all these readings."
        if story.shared and story.what not in ("agree", "site")
        else ""
    )
    return says[0].upper() + says[1:] + shared


def _reading(reading: Reading, misled: Misled) -> str:
    off = display.decimal(abs(misled.by_c))
    where = (
        "near the core" if off == "0.0" else f"{{d {off}}} {'over' if misled.by_c > 0 else 'under'} the core"
    )
    sentence = (
        f"{named(reading)}: probably {where}; {display.rough_chance(misled.chance)} that it was more than "
    )
    sentence += f"{{d {MISLEADS_C}}} off"
    causes = [
        f"{CAUSES[name]} ({display.rough_chance(share)})"
        for name, share in misled.causes.items()
        if share >= 0.05
    ]
    return sentence + (f": {', '.join(causes[:3])}." if causes else ".")


def next_step(step: Step, brings: str) -> Next:
    """A step in words, with what it may bring."""
    return Next(
        do=_do(step),
        heed=CATALOGUE[step.site].ready,
        wait=_wait(step.wait_minutes),
        brings=brings,
        barred=step.barred,
    )


def _next(step: Step) -> Next:
    change = [
        f"a reading of {_c(step.fever_from_c)} or more would speak for acting as for a fever"
        if step.fever_from_c is not None
        else "",
        f"one of {_c(step.no_fever_to_c)} or less against it" if step.no_fever_to_c is not None else "",
    ]
    effect = "; ".join(part for part in change if part) or "no likely reading there would change what to do"
    return next_step(step, f"It would settle it {_times(step.settles)}: {effect}.")


def _wait(minutes: float) -> str:
    if minutes == 0:
        return "now"
    return (
        f"after about {minutes:g} minutes"
        if minutes >= 2
        else "after a minute"
        if minutes >= 1
        else "after half a minute"
    )


def _times(share: float) -> str:
    return (
        display.rough_chance(share)
        .replace(" in ", " times in ")
        .replace("fewer than 1 times", "fewer than once")
    )


def _do(step: Step) -> str:
    return STEPS[step.kind].format(site=SITE_NAMES[step.site])


def _beside(problem: Problem, result: Result) -> tuple[str, ...]:
    sites = [reading.site for reading in problem.readings]
    notes = [REPEATABLE] if len(set(sites)) < len(sites) else []
    notes += [GROUPS] if TEMPORAL in sites else []
    if result.left_out > LEFT_OUT_TELL:
        notes.append(
            f"With so many readings about {display.in_a_hundred(result.left_out)} of what is possible was left out."
        )
    notes.append(COSTS.format(problem.costs.missed_fever, problem.costs.missed_low))
    return (*notes, PURPOSE)


def named(reading: Reading) -> str:
    """A reading in a few words: value, site, instrument, how long ago."""
    ago = "now" if reading.minutes_ago == 0 else f"{reading.minutes_ago:g} minutes ago"
    with_it = f", {reading.instrument}" if reading.instrument else ""
    return f"{_c(reading.value_c)}, {SITE_NAMES[reading.site]}{with_it}, {ago}"


def _c(value: float) -> str:
    return f"{{{display.decimal(value)}}}"


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]
