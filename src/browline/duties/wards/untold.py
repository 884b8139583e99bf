"""Whether nothing at all could be told of values unlikely to have been measured: silence is no good news."""

from collections.abc import Sequence

from browline.audit import Outcome
from browline.duties.report import words
from browline.duties.wards.compared import NOT_MEASURED
from browline.duties.wards.read import Ward

MOST_NAMED = 4


def untold(wards: Sequence[Ward]) -> str:
    """A sentence where every ward had too few readings for every such test that was asked; else empty."""
    ends = {a.outcome for w in wards for a in w.answers if a.test in NOT_MEASURED}
    if Outcome.TOO_FEW not in ends or ends & {Outcome.SEEN, Outcome.NOT_SEEN}:
        return ""
    readings = words.listed([words.count(w.n) for w in wards], MOST_NAMED)
    return (
        f"Too few readings to tell ({readings} on {words.many(len(wards), 'ward')}); this says nothing for or "
        f"against {'it' if len(wards) == 1 else 'them'}."
    )
