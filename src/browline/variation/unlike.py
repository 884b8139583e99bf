"""Whether the readings by who charted them look like people's at all.

People who scan differently lie some tenths of a degree apart. Where many lie more than a whole degree from the
others, the file is wrong before anybody is: so nobody is listed.
"""

from collections.abc import Iterable
from dataclasses import dataclass

# Our judgement, no source: technique faults are told in tenths of a degree, and a few shared log-ins may lie far out.
BEYOND_C, MOST, MOST_SHARE = 1.0, 10, 0.05
LOOK = (
    "Look at the file: {beyond:,} of the {of:,} people who charted lie more than 1 °C (1.8 °F) from the others. People"
    " do not differ so, so nobody is listed. Check that each reading's unit is right, and that the column taken for"
    " the temperature holds body temperatures, not those of a room, a blanket, a machine or another measurement. Put"
    " it right, import again and review again. Until then do not rely on what else this review says."
)


@dataclass(frozen=True)
class Unlike:
    """`beyond` of `people` people compared lie more than `BEYOND_C` from the others."""

    beyond: int
    people: int

    @property
    def sentence(self) -> str:
        """What to look at, in words."""
        return LOOK.format(beyond=self.beyond, of=self.people)


def unlike_people(offsets_c: Iterable[float]) -> Unlike | None:
    """None where the people look like people; `offsets_c`: each person against the others.

    >>> unlike_people([1.5] * 10 + [0.0] * 10), unlike_people([1.5] * 11 + [0.0] * 209)
    (None, None)
    >>> unlike_people([-1.5] * 11 + [0.0] * 208)
    Unlike(beyond=11, people=219)
    """
    offsets = list(offsets_c)
    beyond = sum(abs(c) > BEYOND_C for c in offsets)
    return Unlike(beyond, len(offsets)) if beyond > MOST and beyond > MOST_SHARE * len(offsets) else None
