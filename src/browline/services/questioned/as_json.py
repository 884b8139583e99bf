"""Answers as the contract writes them: `browline-recheck/2`.

Readings and cases are counted from 1, as a reader counts. Chances are from 0 to 1, temperatures in °C. Where no chance
is told everything that the model would say is null, and `withheld` says why.
"""

from collections.abc import Iterable

from browline.questioned.explain import Next, Way
from browline.questioned.result import Core, Result, Step, Story
from browline.services.questioned.desk import Answer, Refused

FORMAT = "browline-recheck/2"
CORE = ("mean_c", "low_c", "high_c", "fever", "low")


def as_json(answers: Iterable[Answer | Refused]) -> dict[str, object]:
    """The whole document: one entry for each case, in their order."""
    return {"format": FORMAT, "cases": [_case(number, one) for number, one in enumerate(answers, start=1)]}


def _case(number: int, one: Answer | Refused) -> dict[str, object]:
    if isinstance(one, Refused):
        return {"case": number, "refused": str(one.why), "answer": None}
    return {"case": number, "refused": None, "answer": answer_json(one)}


def answer_json(one: Answer) -> dict[str, object]:
    """One answer: what to do first, the core, readings, stories, next steps, and where figures come from."""
    act_on = [k + 1 for k in one.act_on]
    return {
        "escalate": one.escalate,
        "emergencies": list(one.emergencies),
        "says": one.told.says,
        "act_on": one.told.act_on,
        "act_on_readings": act_on,
        "withheld": None if one.withheld is None else _withheld(one),
        "not_used": one.not_used,
        "act_as": one.act_as,
        "safer": act_on[0] if len(act_on) == 1 else None,
        **_of_model(one.result),
        "fever_c": one.problem.fever_c,
        "low_c": one.problem.low_c,
        "readings": [_reading(one, k) for k in range(len(one.readings))],
        "stories": _stories(one),
        "steps": [
            _step(*each, weighed=one.result is not None)
            for each in zip(one.steps, one.told.steps, strict=True)
        ],
        "notes": list(one.notes),
        "sources": [{"says": source.says, "of_the_book": source.of_the_book} for source in one.sources],
        "cautions": list(one.cautions),
    }


def _withheld(one: Answer) -> dict[str, object]:
    because, says = one.withheld or ((), "")
    return {"because": list(because), "says": says}


def _of_model(result: Result | None) -> dict[str, object]:
    if result is None:
        return {"outcome": "not-settled", "loss": None, "left_out": None, "core": _core(None)}
    return {
        "outcome": result.outcome.name.lower().replace("_", "-"),
        "loss": float(result.loss),
        "left_out": float(result.left_out),
        "core": _core(result.now),
    }


def _core(core: Core | None) -> dict[str, float | None]:
    return {name: None if core is None else float(getattr(core, name)) for name in CORE}


def _reading(one: Answer, place: int) -> dict[str, object]:
    """The reading at this place; nothing is told of one that was not weighed."""
    reading, told = one.readings[place], one.used.index(place) if place in one.used else None
    misled = None if told is None or one.result is None else one.result.misled[told]
    return {
        "value_c": reading.value_c,
        "site": reading.site,
        "minutes_ago": reading.minutes_ago,
        "instrument": reading.instrument,
        "prepared": reading.prepared,
        "used": told is not None,
        "core": _core(None if misled is None else misled.core),
        "by_c": None if misled is None else float(misled.by_c),
        "misled": None if misled is None else float(misled.chance),
        "causes": {} if misled is None else {cause: float(chance) for cause, chance in misled.causes.items()},
        "sentence": "" if told is None else one.told.readings[told],
    }


def _stories(one: Answer) -> list[dict[str, object]]:
    stories = one.result.stories if one.result is not None else ()
    return [_story(*each, one.used) for each in zip(stories, one.told.ways, strict=True)]


def _story(story: Story, way: Way, used: tuple[int, ...]) -> dict[str, object]:
    return {
        "what": story.what,
        "site": story.site,
        "instrument": story.instrument,
        "readings": [used[k] + 1 for k in story.readings],
        "chance": float(story.chance),
        "shared": story.shared,
        "sentence": way.says,
    }


def _step(step: Step, told: Next, *, weighed: bool) -> dict[str, object]:
    names = ("kind", "site", "wait_minutes", "fever_from_c", "no_fever_to_c", "barred")
    return {
        **{name: getattr(step, name) for name in names},
        **{name: getattr(step, name) if weighed else None for name in ("drop", "settles")},
        "do": told.do,
        "heed": told.heed,
        "wait": told.wait,
        "brings": told.brings,
    }
