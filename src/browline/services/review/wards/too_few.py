"""Whether nothing at all could be told of values unlikely to have been measured: silence is no good news."""

from collections.abc import Sequence

from browline import display
from browline.audit import Outcome
from browline.findings import UNMEASURED
from browline.services.review.wards.from_review import Ward

MOST_NAMED = 4


def untold(wards: Sequence[Ward]) -> str:
    """A sentence where every ward had too few readings for every such test that was asked; else empty."""
    ends = {a.outcome for w in wards for a in w.answers if a.test in UNMEASURED}
    if Outcome.TOO_FEW not in ends or ends & {Outcome.SEEN, Outcome.NOT_SEEN}:
        return ""
    about = "it" if len(wards) == 1 and wards[0].said else "them"
    return f"Too few readings to tell ({_counted(wards)}); this says nothing for or against {about}."


def _counted(wards: Sequence[Ward]) -> str:
    """The readings of each ward, and those of which no ward is said: they are on none."""
    named = [display.count(w.n) for w in wards if w.said]
    on = [f"{display.listed(named, MOST_NAMED)} on {display.many(len(named), 'ward')}"] if named else []
    return ", and ".join(on + [f"{display.count(w.n)} without a ward" for w in wards if not w.said])
