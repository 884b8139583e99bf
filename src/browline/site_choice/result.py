"""The answer: one site, one cover, how to clean, how long to wait, what to do instead, what to heed."""

from dataclasses import dataclass
from enum import StrEnum

from browline.site_choice.rule import Rule

ESCALATE = (
    "Looks ill, or you are worried: escalate now. The number comes after, and no number is a reason to wait."
)
DEFERS = (
    "Local policy and the instrument's instructions come before this answer, licensed judgement before both."
)


class Outcome(StrEnum):
    """What came of the question."""

    ANSWERED = "one site and one cover"
    NOTHING_LEFT = "the rules leave nothing: the person in charge decides by local policy"


@dataclass(frozen=True)
class Choice:
    """What the rules say of one patient. `escalate` is read first, then `emergencies`; each rule has reason and source.

    A part that the rules leave open is None, and the outcome says so; `ruled_out` are sites not to use. `fallbacks` are
    what to do instead, in order, each at another site.
    """

    outcome: Outcome
    site: Rule | None
    cover: Rule | None
    lens: Rule | None
    case: Rule | None
    fallbacks: tuple[Rule, ...]
    waits: tuple[Rule, ...]
    ruled_out: tuple[Rule, ...]
    cautions: tuple[Rule, ...]
    emergencies: tuple[Rule, ...] = ()
    escalate: str = ESCALATE
    defers: str = DEFERS

    @property
    def fallback(self) -> Rule | None:
        """What to do first where the site cannot be used."""
        return self.fallbacks[0] if self.fallbacks else None

    @property
    def rules(self) -> tuple[Rule, ...]:
        """Every rule that was used, in the order in which they are read."""
        main = tuple(rule for rule in (self.site, self.cover, self.lens, self.case) if rule)
        return (*self.emergencies, *main, *self.fallbacks, *self.waits, *self.ruled_out, *self.cautions)
