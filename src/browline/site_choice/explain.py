"""The answer in a nurse's words, as data: parts in the order in which they are needed at the bedside."""

from dataclasses import dataclass

from browline.site_choice.result import Choice
from browline.site_choice.rule import Rule


@dataclass(frozen=True)
class Told:
    """One part of the answer; each rule brings its reason, its source, and the published figure."""

    title: str
    rules: tuple[Rule, ...]


def explain(choice: Choice) -> tuple[Told, ...]:
    """The parts that hold something. What to say first and last stands in `escalate` and `defers`."""
    parts = (
        Told("First", choice.emergencies),
        Told("Site", _one(choice.site)),
        Told("Cover", _one(choice.cover)),
        Told("Wait", choice.waits),
        Told("If that cannot be done, in this order", choice.fallbacks),
        Told("Not to use", choice.ruled_out),
        Told("Heed", choice.cautions),
        Told("Cleaning the lens", _one(choice.lens)),
        Told("Cleaning the case", _one(choice.case)),
    )
    return tuple(part for part in parts if part.rules)


def _one(rule: Rule | None) -> tuple[Rule, ...]:
    return (rule,) if rule else ()
