"""Which instruments recur among questioned readings, more often than chance would bring?

    recurring(Questioned(counts, parts, false_share)) -> Recurring

Were every part of the work equally likely to be questioned, the count of one instrument among all N would be

    X_i ~ Binomial(N, s_i),    s_i = part_i / sum of parts,    p_i = P(X_i >= x_i)

with the readings charted with each instrument as the parts where the charts hold them, else one part each. Flags are
chosen by Benjamini and Hochberg's step so that the share of false ones stays under `false_share`. Counts that share
one total pull against each other, which makes the step cautious, and a truly bad instrument makes the rest look better.

A flag also needs three questioned readings and twice the even share, for with a long log any small difference would
be beyond chance (both numbers: our judgement). It asks for a check and never says how far an instrument reads off.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

FEWEST = 3
TIMES_EXPECTED = 2.0
# An instrument questioned this many times as often as its part should be seen this often; else: too few to tell.
TIMES_DETECTABLE, POWER = 5.0, 0.8


class Basis(Enum):
    """What an even fall is measured by."""

    READINGS = "readings charted with each instrument"
    INSTRUMENTS = "one equal part for each instrument in service"


class Outcome(Enum):
    """What can be said of one instrument."""

    RECURS = "questioned more often than chance would bring"
    NOT_SEEN = "not questioned more often than chance would bring"
    TOO_FEW = "too few to tell"
    NOT_COMPARED = "nothing to compare it with"


ADVICE: dict[Outcome, str] = {
    Outcome.RECURS: "Bring a spare, tag it, send it for a check.",
    Outcome.NOT_SEEN: "Go on logging; its usual checks stay due.",
    Outcome.TOO_FEW: "Go on logging. Doubt at a bedside needs no count: bring a spare, tag it, send it for a check.",
    Outcome.NOT_COMPARED: "Enter it in the register, or wait for charts that name it.",
}


@dataclass(frozen=True)
class Questioned:
    """How often each instrument was questioned.

    - `counts`: by instrument, questioned readings in the period, whole, >= 0.
    - `parts`: by instrument, its part of the work in the same period, >= 0; only their ratios count.
    - `basis`: what the parts are. `false_share`: share of flags that may be expected false, in (0, 1).
    """

    counts: Mapping[str, int]
    parts: Mapping[str, float]
    basis: Basis = Basis.INSTRUMENTS
    false_share: float = 0.10

    def __post_init__(self) -> None:
        if not 0 < self.false_share < 1:
            raise ValueError(f"false_share {self.false_share} is not in (0, 1)")
        if any(n < 0 for n in (*self.counts.values(), *self.parts.values())):
            raise ValueError("a count or a part is negative")


@dataclass(frozen=True)
class Recurrence:
    """One instrument: `questioned` times, `expected` were they to fall evenly, `p` = P(at least as many by chance).

    `least`: the fewest that would be flagged were it the only one. None where nothing can be compared.
    """

    instrument: str
    outcome: Outcome
    questioned: int
    expected: float | None = None
    p: float | None = None
    least: int | None = None

    @property
    def advice(self) -> str:
        """The one thing to do."""
        return ADVICE[self.outcome]


@dataclass(frozen=True)
class Recurring:
    """Every instrument that was questioned or could have been; those that recur first, then by count."""

    basis: Basis
    total: int
    compared: int
    instruments: tuple[Recurrence, ...]

    @property
    def flagged(self) -> tuple[Recurrence, ...]:
        """Those to send for a check, most surely recurring first."""
        return tuple(row for row in self.instruments if row.outcome is Outcome.RECURS)


def recurring(problem: Questioned) -> Recurring:
    """Judge every instrument.

    >>> result = recurring(Questioned({"FS-07": 7, "FS-08": 1}, dict.fromkeys(("FS-07", "FS-08", "FS-09", "FS-10"), 1)))
    >>> [(row.instrument, row.outcome.name) for row in result.flagged], result.total
    ([('FS-07', 'RECURS')], 8)
    """
    whole = sum(problem.parts.values())
    names = [name for name, part in problem.parts.items() if part > 0]
    # With one instrument alone every question is its own; an even fall says nothing.
    names = names if len(names) > 1 else []
    total = sum(problem.counts.get(name, 0) for name in names)
    proportions = {name: problem.parts[name] / whole for name in names}
    judged = _judged(problem, proportions, total)
    apart = [
        Recurrence(n, Outcome.NOT_COMPARED, x)
        for n, x in problem.counts.items()
        if x and n not in proportions
    ]
    judged.sort(key=lambda row: (row.outcome is not Outcome.RECURS, row.p, -row.questioned, row.instrument))
    return Recurring(
        problem.basis, total, len(names), (*judged, *sorted(apart, key=lambda row: row.instrument))
    )


def _judged(problem: Questioned, proportions: Mapping[str, float], total: int) -> list[Recurrence]:
    import numpy as np
    from scipy.stats import binom, false_discovery_control

    if not proportions:
        return []
    x, proportion = (
        np.array([problem.counts.get(name, 0) for name in proportions]),
        np.array(list(proportions.values())),
    )
    expected, p = total * proportion, np.asarray(binom.sf(x - 1, total, proportion))
    # The fewest that are enough, and beyond chance at the first step of the correction.
    beyond = binom.isf(problem.false_share / len(proportions), total, proportion) + 1
    least = np.maximum(np.maximum(FEWEST, np.ceil(TIMES_EXPECTED * expected)), beyond)
    enough = (x >= FEWEST) & (x >= TIMES_EXPECTED * expected)
    recurs = enough & (false_discovery_control(p, method="bh") <= problem.false_share)
    several_fold = TIMES_DETECTABLE * proportion / (TIMES_DETECTABLE * proportion + 1 - proportion)
    detectable = binom.sf(least - 1, total, several_fold) >= POWER
    return [
        Recurrence(
            instrument=name,
            outcome=_outcome(*flags),
            questioned=int(n),
            expected=float(e),
            p=float(tail),
            least=int(few),
        )
        for name, flags, n, e, tail, few in zip(
            proportions, zip(recurs, detectable, strict=True), x, expected, p, least, strict=True
        )
    ]


def _outcome(recurs: bool, detectable: bool) -> Outcome:
    """Not seen, where one questioned several times as often as its part would have been seen; else too few."""
    return Outcome.RECURS if recurs else Outcome.NOT_SEEN if detectable else Outcome.TOO_FEW
