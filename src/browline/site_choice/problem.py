"""The question: this patient, in the words of `browline.site_choice.flags`."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from browline.errors import NotUnderstood
from browline.site_choice.flags import AGES, ISOLATION, ISOLATIONS, TICKS, UNDER_3_MONTHS, UNDER_5

FROM_AGE: dict[str, frozenset[str]] = {
    "under-4-weeks": frozenset({UNDER_3_MONTHS, UNDER_5}),
    "4-weeks-3-months": frozenset({UNDER_3_MONTHS, UNDER_5}),
    "3-months-5-years": frozenset({UNDER_5}),
    "5-years-up": frozenset(),
}
FROM_TICK: dict[str, frozenset[str]] = {"cold-or-shut-down": frozenset({"unstable"})}


@dataclass(frozen=True)
class Patient:
    """One age, one kind of isolation, and what else holds. It names nobody and is not kept.

    >>> sorted(Patient("3-months-5-years", "contact", frozenset({"damp"})).facts)
    ['3-months-5-years', 'contact', 'damp', 'isolation', 'under-5']
    """

    age: str
    isolation: str = "none"
    ticks: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _known("age", self.age, AGES)
        _known("isolation", self.isolation, ISOLATIONS)
        for tick in sorted(self.ticks):
            _known("what holds", tick, TICKS)

    @cached_property
    def facts(self) -> frozenset[str]:
        """Every word that holds, those that follow from others too."""
        facts = {self.age, *self.ticks}
        facts |= FROM_AGE[self.age].union(*(FROM_TICK.get(tick, ()) for tick in self.ticks))
        if self.isolation != "none":
            facts |= {self.isolation, ISOLATION}
        return frozenset(facts)


def _known(subject: str, word: str, words: Mapping[str, str]) -> None:
    if word not in words:
        raise NotUnderstood(
            f"{word!r} was given for {subject}.", f"Known are {', '.join(words)}.", "Choose one."
        )
