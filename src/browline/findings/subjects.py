"""What a finding can be about: how it is named, who sees to it, and what may come of that."""

from dataclasses import dataclass

from browline.findings.outcomes import OUTCOMES

# A person or the whole book cannot be cleaned or lost.
PRACTICE = tuple(
    (code, OUTCOMES[code]) for code in ("no-fault-found", "unit-changed", "mode-changed", "replaced")
)
# What may come of asking a ward: nothing of an instrument's.
WARD_ASKED = (
    ("no-fault-found", "no fault found: the ward explained it"),
    ("form-changed", OUTCOMES["form-changed"]),
    ("instruments-brought", OUTCOMES["instruments-brought"]),
)
NOT_OF_INSTRUMENTS = ("form-changed", "instruments-brought")


@dataclass(frozen=True)
class Subject:
    """A type of subject.

    - `type`: as contracts and books write it; `title`: before its name. `owner`: who sees to it.
    - `outcomes`: codes and words of what may come of a finding about it; `question`: what asks for one of them.
    - `apart`: how to tell such a subject from another that its effect is known with only.
    """

    type: str
    title: str
    owner: str
    outcomes: tuple[tuple[str, str], ...] = PRACTICE
    question: str = "What did the check show?"
    apart: str = "swap instruments with another ward for a week, then review again"


INSTRUMENT = Subject(
    type="instrument",
    title="Instrument",
    owner="you, with the ward that has it",
    outcomes=tuple((code, text) for code, text in OUTCOMES.items() if code not in NOT_OF_INSTRUMENTS),
)
WARD = Subject(
    type="ward",
    title="Ward",
    owner="you, with the ward's manager",
    outcomes=WARD_ASKED,
    question="What came of asking the ward?",
)
PERSON = Subject(
    type="person",
    title="Person",
    owner="you, in private with the person",
    apart="let other people use it for a week, then review again",
)
SITE = Subject(type="site", title="Site", owner="you")
BOOK = Subject(type="book", title="This book", owner="you, with the data team")

SUBJECTS = {s.type: s for s in (INSTRUMENT, WARD, PERSON, SITE, BOOK)}
