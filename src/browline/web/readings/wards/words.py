"""The pages' own sentences about wards."""

import re
from collections.abc import Sequence

from browline import display
from browline.audit import Outcome
from browline.services.review.wards import Ward

SHOWS = re.compile(r"([\d.]+ %) or more would be, 8 times in 10")


def opening(ward: Ward) -> str:
    """What the page begins with: readings, and how the tests ended, in one sentence each."""
    if ward.few:
        return f"Too few to tell: {display.FEWER} readings. Nothing is worked out for so few."
    signals = len(ward.seen)
    read = f"{display.count(ward.n)} readings"
    if not signals and not ward.that(Outcome.NOT_SEEN):
        begin = f"{read}: too few to tell, which says nothing for or against the ward."
    elif not signals:
        begin = f"{read}; nothing was seen that asks for a question."
    else:
        things = "1 thing was seen that is" if signals == 1 else f"{signals} things were seen that are"
        begin = f"{read}; {things} worth a question."
    return f"{begin} {_unflagged_tests(ward)}"


def _unflagged_tests(ward: Ward) -> str:
    counted = [
        (len(ward.that(outcome)), words_)
        for outcome, words_ in (
            (Outcome.NOT_SEEN, "looked for and not seen"),
            (Outcome.TOO_FEW, "could not be told"),
            (Outcome.NOT_ASKED, "could not be asked of these charts"),
        )
    ]
    counts = [f"{n} {text}" for n, text in counted if n]
    tests = "Of the other tests" if ward.seen else "Of the tests"
    return f"{tests}, {display.listed(counts)}." if counts else ""


def smallest_detectable(ward: Ward) -> str:
    """The first size on the page that would show, as "2.4 %"; empty where none stands there."""
    matches = (SHOWS.search(a.text) for a in ward.answers)
    return next((match[1] for match in matches if match), "")


def unasked_everywhere(wards: Sequence[Ward]) -> tuple[str, ...]:
    """The tests that no ward could be asked, said once for all instead of in every row."""
    if not wards:
        return ()
    first, *others = ({a.test for a in w.that(Outcome.NOT_ASKED)} for w in wards)
    everywhere = first.intersection(*others)
    return tuple(a.test for a in wards[0].answers if a.test in everywhere)
