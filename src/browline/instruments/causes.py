"""The causes found, commonest first, with what each adds up to; small numbers stand together.

    share_k = n_k / N,    cumulative_k = (n_1 + ... + n_k) / N

A cause with fewer than three lines could point to one shift or one person, so such causes are pooled; with fewer than
ten lines in all nothing is counted out. The first is said to be commonest only where an exact test of it against the
second is beyond chance, corrected for the number of causes it was picked from (Bonferroni).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from browline.quantities.shares import wilson

FEWEST_LINES = 10
FEWEST_OF_A_CAUSE = 3
LEVEL = 0.05
POOLED = ""


class Counted(Enum):
    """What can be said of the causes."""

    LEADS = "one cause leads"
    NO_LEADER = "too few lines to say which cause leads"
    TOO_FEW = "too few lines to count out"


@dataclass(frozen=True)
class Bar:
    """One cause, or those pooled (`cause` empty): `n` lines, its share with a 95 % interval, the shares so far."""

    cause: str
    n: int
    share: float
    low: float
    high: float
    cumulative: float


@dataclass(frozen=True)
class Pareto:
    """The causes of `total` lines, each line counted once; `bars` commonest first, those pooled last."""

    outcome: Counted
    total: int
    bars: tuple[Bar, ...] = ()
    pooled: int = 0


def pareto(counts: Mapping[str, int]) -> Pareto:
    """Count the leading causes out.

    >>> result = pareto({"damp": 12, "lens": 5, "drink": 2, "lag": 1})
    >>> [(bar.cause, bar.n, round(bar.cumulative, 2)) for bar in result.bars], result.pooled
    ([('damp', 12, 0.6), ('lens', 5, 0.85), ('', 3, 1.0)], 2)
    """
    total = sum(counts.values())
    if total < FEWEST_LINES:
        return Pareto(Counted.TOO_FEW, total)
    positive = {cause: n for cause, n in counts.items() if n}
    small = {cause: n for cause, n in positive.items() if n < FEWEST_OF_A_CAUSE}
    ordered = sorted(
        ((c, n) for c, n in positive.items() if c not in small), key=lambda pair: (-pair[1], pair[0])
    )
    rows = [*ordered, (POOLED, sum(small.values()))] if small else ordered
    bars, before = [], 0
    for cause, n in rows:
        before += n
        bars.append(Bar(cause, n, n / total, *wilson(n, total), before / total))
    return Pareto(_leader(positive), total, tuple(bars), len(small))


def _leader(counts: Mapping[str, int]) -> Counted:
    from scipy.stats import binomtest

    first, second = (*sorted(counts.values(), reverse=True), 0)[:2]
    p = float(binomtest(first, first + second, 0.5).pvalue)
    return Counted.LEADS if p <= LEVEL / max(1, len(counts) - 1) else Counted.NO_LEADER


def reportable_wards(lines: Mapping[str, int]) -> tuple[str, ...]:
    """The wards that may be shown by themselves, most lines first: each has ten lines, and so have those left over.

    A single small ward could be read off by taking the others from the whole, so at least two are left over, or none.

    >>> reportable_wards({"Larch": 14, "Maple": 12, "Rowan": 2})
    ('Larch',)
    """
    reportable = sorted(
        (w for w, n in lines.items() if w and n >= FEWEST_LINES), key=lambda w: (-lines[w], w)
    )
    remainder = [ward for ward in lines if ward not in reportable]
    while (
        remainder
        and reportable
        and (len(remainder) < 2 or sum(lines[ward] for ward in remainder) < FEWEST_LINES)
    ):
        remainder.append(reportable.pop())
    return tuple(reportable)
