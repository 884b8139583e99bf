"""The answer in a nurse's words, as data: parts in the order in which they are needed at the bedside."""

from dataclasses import dataclass

from browline.site_choice.result import Choice
from browline.site_choice.rule import Rule


@dataclass(frozen=True)
class Section:
    """One part of the answer; each rule brings its reason, its source, and the published figure."""

    title: str
    rules: tuple[Rule, ...]


def explain(choice: Choice) -> tuple[Section, ...]:
    """The parts that hold something. What to say first and last stands in `escalate` and `defers`."""
    parts = (
        Section("First", choice.emergencies),
        Section("Site", _as_rules(choice.site)),
        Section("Cover", _as_rules(choice.cover)),
        Section("Wait", choice.waits),
        Section("If that cannot be done, in this order", choice.fallbacks),
        Section("Not to use", choice.ruled_out),
        Section("Heed", choice.cautions),
        Section("Cleaning the lens", _as_rules(choice.lens)),
        Section("Cleaning the case", _as_rules(choice.case)),
    )
    return tuple(part for part in parts if part.rules)


def _as_rules(rule: Rule | None) -> tuple[Rule, ...]:
    return (rule,) if rule else ()
