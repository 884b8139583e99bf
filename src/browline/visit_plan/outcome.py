"""How a plan can end: a closed list, each with a sentence and what to do."""

from enum import StrEnum


class Outcome(StrEnum):
    """How the search for a plan ended."""

    OPTIMAL = "best-possible"
    WITHIN_GAP = "within-the-gap"
    TIME_LIMIT = "time-ran-out"
    BOUND_BROKEN = "proof-did-not-hold"
    NOBODY = "nobody-to-reach"
    NO_PEOPLE = "no-people"
    NO_ROSTER = "no-roster"
    NO_TIME = "no-time"
    NONE_MEET = "none-meet"
    NOT_WORTH = "not-worth-an-hour"

    @property
    def has_visits(self) -> bool:
        """Whether a plan was made."""
        return self not in _WITHOUT

    @property
    def sentence(self) -> str:
        """What happened, and what to do about it."""
        return _SENTENCES[self]


_WITHOUT = (
    Outcome.NOBODY,
    Outcome.NO_PEOPLE,
    Outcome.NO_ROSTER,
    Outcome.NO_TIME,
    Outcome.NONE_MEET,
    Outcome.NOT_WORTH,
)
_SENTENCES = {
    Outcome.OPTIMAL: "No plan within these limits is better; look through the visits and take those that suit.",
    Outcome.WITHIN_GAP: (
        "The plan is as good as the best one to within the share said; a longer search would gain little."
    ),
    Outcome.TIME_LIMIT: (
        "The time for the search ran out before the plan was proved as good as asked. It can be used: how much"
        " better another could be at most is said. Search longer, or plan fewer weeks at a time."
    ),
    Outcome.BOUND_BROKEN: (
        "The visits keep every limit and can be used. How good they are is not known: the search claimed a bound that"
        " this plan passes, so its proof did not hold. That is a fault of ours; report it, and plan fewer weeks."
    ),
    Outcome.NOBODY: "Nobody is left to reach; there is nothing to plan. See who is due to be refreshed.",
    Outcome.NO_PEOPLE: "Nobody is known: there is no staff list, and no roster covers these weeks; bring one in.",
    Outcome.NO_ROSTER: "No roster covers these weeks; import one, or choose weeks that it covers.",
    Outcome.NO_TIME: "No visit fits into the times, hours and nights given; add a time, a night, or more hours a week.",
    Outcome.NONE_MEET: (
        "Nobody who is left to reach is on duty, clear of handover and with cover, at a time given; add nights or"
        " weekends, or ask a champion."
    ),
    Outcome.NOT_WORTH: (
        "Visits are possible, but none brings as many people an hour as you asked for; lower what an hour must bring."
    ),
}
