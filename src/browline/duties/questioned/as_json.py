"""Answers as the contract writes them: `browline-recheck/1`.

Readings and cases are counted from 1, as a reader counts. Chances are from 0 to 1, temperatures in °C.
"""

from collections.abc import Iterable
from typing import Any

from browline.course.explain import Next, Way
from browline.course.result import Core, Misled, Step, Story
from browline.duties.questioned.desk import Answer, Refused

FORMAT = "browline-recheck/1"


def as_json(answers: Iterable[Answer | Refused]) -> dict[str, Any]:
    """The whole document: one entry for each case, in their order."""
    return {"format": FORMAT, "cases": [_case(number, one) for number, one in enumerate(answers, start=1)]}


def _case(number: int, one: Answer | Refused) -> dict[str, Any]:
    if isinstance(one, Refused):
        return {"case": number, "refused": str(one.why), "answer": None}
    return {"case": number, "refused": None, "answer": answer_json(one)}


def answer_json(one: Answer) -> dict[str, Any]:
    """One answer: what to do first, the core, readings, stories, next steps, and where figures come from."""
    result = one.result
    readings = zip(one.problem.readings, result.misled, one.told.readings, strict=True)
    return {
        "escalate": one.escalate,
        "emergencies": [rule.says for rule in one.emergencies],
        "says": one.told.says,
        "act_on": one.told.act_on,
        "outcome": result.outcome.name.lower().replace("_", "-"),
        "act_as": result.act_as,
        "safer": result.safer + 1,
        "loss": float(result.loss),
        "left_out": float(result.left_out),
        "fever_c": one.problem.fever_c,
        "low_c": one.problem.low_c,
        "core": _core(result.now),
        "readings": [_reading(*each) for each in readings],
        "stories": [_story(*each) for each in zip(result.stories, one.told.ways, strict=True)],
        "steps": [_step(*each) for each in zip(result.steps, one.told.steps, strict=True)],
        "notes": list(one.notes),
        "sources": [{"says": source.says, "of_the_book": source.of_the_book} for source in one.sources],
        "cautions": list(one.cautions),
    }


def _core(core: Core) -> dict[str, float]:
    names = ("mean_c", "low_c", "high_c", "fever", "low")
    return {name: float(getattr(core, name)) for name in names}


def _reading(reading: Any, misled: Misled, sentence: str) -> dict[str, Any]:
    return {
        "value_c": reading.value_c,
        "site": reading.site,
        "minutes_ago": reading.minutes_ago,
        "instrument": reading.instrument,
        "prepared": reading.prepared,
        "core": _core(misled.core),
        "by_c": float(misled.by_c),
        "misled": float(misled.chance),
        "causes": {cause: float(chance) for cause, chance in misled.causes.items()},
        "sentence": sentence,
    }


def _story(story: Story, way: Way) -> dict[str, Any]:
    return {
        "what": story.what,
        "site": story.site,
        "instrument": story.instrument,
        "readings": [k + 1 for k in story.readings],
        "chance": float(story.chance),
        "shared": story.shared,
        "sentence": way.says,
    }


def _step(step: Step, told: Next) -> dict[str, Any]:
    names = ("kind", "site", "wait_minutes", "drop", "settles", "fever_from_c", "no_fever_to_c", "barred")
    return {
        **{name: getattr(step, name) for name in names},
        "do": told.do,
        "heed": told.heed,
        "wait": told.wait,
        "brings": told.brings,
    }
