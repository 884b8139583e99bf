"""The habits planted in the wards of the invented hospital beside what the audit found there."""

from collections.abc import Sequence
from dataclasses import dataclass

from browline import display
from browline.audit import Outcome
from browline.services.demo.truth import HabitTruth, Truth
from browline.services.review.wards import Ward

TEST_OF = {
    "spike": "value-spike",
    "copies": "copied-values",
    "batches": "round-batch",
    "edge": "edge",
    "site_left_out": "site-missing",
    "site_switching": "site-switching",
    "keyed_late": "entry-delay",
    "on_the_hour": "on-the-hour",
}
# Values moved to just under the fever line heap there: one habit, two signs.
SIGNS_OF = {"edge": ("edge", "value-spike")}


@dataclass(frozen=True)
class PlantedHabit:
    """A habit of one ward: the `test` that looks for it, how much was `planted`, and what was `found`, in words."""

    ward: str
    test: str
    planted: str
    found: str
    seen: bool


def planted_habits(truth: Truth, wards: Sequence[Ward]) -> tuple[PlantedHabit, ...]:
    """One row a planted habit. `truth`: the truth file of the invented hospital."""
    planted = truth["wards"]
    named = {w.name: w for w in wards}
    return tuple(
        _row(test, planted[habit], _planted(habit, planted[habit], truth), named.get(planted[habit]["ward"]))
        for habit, test in TEST_OF.items()
        if habit in planted
    )


def unplanted(truth: Truth, wards: Sequence[Ward]) -> tuple[str, ...]:
    """What was seen on a ward where nothing of the sort was planted, as "ward: what"."""
    planted = truth["wards"]
    known = {
        (planted[habit]["ward"], sign)
        for habit, test in TEST_OF.items()
        if habit in planted
        for sign in SIGNS_OF.get(habit, (test,))
    }
    return tuple(f"{w.name}: {a.title}" for w in wards for a in w.seen if (w.name, a.test) not in known)


def _row(test: str, habit: HabitTruth, planted: str, ward: Ward | None) -> PlantedHabit:
    answer = next((a for a in ward.answers if a.test == test), None) if ward else None
    if answer is None:
        return PlantedHabit(
            ward=habit["ward"], test=test, planted=planted, found="missed: no readings", seen=False
        )
    if not answer.seen:
        why = {Outcome.TOO_FEW: "too few to tell", Outcome.NOT_ASKED: "not asked"}
        return PlantedHabit(
            ward=habit["ward"],
            test=test,
            planted=planted,
            found=why.get(answer.outcome, "missed"),
            seen=False,
        )
    place = f"{answer.at}: " if answer.at else ""
    size = f"{_percent(answer.effect)} ({_percent(answer.low)} to {_percent(answer.high)})"
    return PlantedHabit(ward=habit["ward"], test=test, planted=planted, found=place + size, seen=True)


def _percent(share: float | None) -> str:
    return "few" if share is None else display.share(share)


def _planted(habit: str, facts: HabitTruth, truth: Truth) -> str:
    """How much was planted, in the terms of the truth file."""
    share = display.percent(facts["share"]) if "share" in facts else ""
    if habit == "spike":
        until = f" until {facts['until'][:10]}" if "until" in facts else ""
        return f"{display.decimal(facts['value_c'])} °C: {display.share(facts['share'])}{until}"
    return {
        "copies": f"{display.number(len(truth['rows_of']['copied']))} rows",
        "batches": f"{display.percent(facts.get('share_of_rounds', 0))} of rounds",
        "edge": f"{share} of values just over the line",
        "site_left_out": "more than elsewhere",
        "site_switching": f"{share} of visits",
        "keyed_late": f"{display.percent(facts.get('share_of_shifts', 0))} of shifts",
        "on_the_hour": f"{share} of visits",
    }[habit]
