"""One good thing to tell a ward, chosen from its data by a rule that never flatters.

The first of these that holds; each says the numbers it rests on, rounded so that they never say more than is so:
a share that was too high fell; nearly every reading says its site; values look measured one by one; readings are
keyed within the hour. Where none holds, thanks for the readings.
"""

from collections.abc import Callable
from datetime import date, timedelta
from math import floor

from browline import display
from browline.audit import Outcome
from browline.findings import UNMEASURED
from browline.services.review.wards import Followed, Ward, Week

NEARLY_ALL = 0.95
FEWEST_LATELY, LATELY = 30, timedelta(weeks=4)


def good_news(ward: Ward, followed: Followed, last_day: date | None, *, ask_has_fall: bool = False) -> str:
    """One sentence. `last_day`: of the readings, None where not known. `ask_has_fall`: it gives the sizes of a fall."""
    rules: tuple[Callable[[], str], ...] = (
        lambda: _fell_as_in_ask(ward) if ask_has_fall else _fell(ward, followed),
        lambda: _site_charted(ward, last_day),
        lambda: _measured(ward),
        lambda: _prompt(ward),
    )
    holding = (rule() for rule in rules)
    return next(filter(None, holding), f"Thank you for {display.count(ward.n)} temperatures charted.")


def _fell(ward: Ward, followed: Followed) -> str:
    change = followed.change
    if change is None or not followed.fell:
        return ""
    week = display.day(followed.weeks[change.first])
    before, after = display.share(change.before), display.share(change.after)
    if ward.favourite is not None:
        return (
            f"{ward.favourite} is charted less often: {before} of readings before the week of {week}, "
            f"{after} from then on."
        )
    return f"Fewer readings lack their site: {before} before the week of {week}, {after} from then on."


def _fell_as_in_ask(ward: Ward) -> str:
    if ward.favourite is not None:
        return f"{ward.favourite} is charted less often than it was; the ask says by how much."
    return "Fewer readings lack their site than before; the ask says by how much."


def _site_charted(ward: Ward, last_day: date | None) -> str:
    weeks = _lately(ward.weeks)
    n, missing = sum(w.n for w in weeks), sum(w.site_missing for w in weeks)
    if n < FEWEST_LATELY or missing > (1 - NEARLY_ALL) * n or _ended(ward, "site-missing", Outcome.SEEN):
        return ""
    until = min(weeks[-1].week + timedelta(days=6), last_day or date.max)
    share = _floor_share(n - missing, n)
    return f"The site is charted for {share} of {display.count(n)} readings in the four weeks to {display.day(until)}."


def _lately(weeks: tuple[Week, ...]) -> tuple[Week, ...]:
    return tuple(w for w in weeks if w.week > weeks[-1].week - LATELY)


def _measured(ward: Ward) -> str:
    if not all(_ended(ward, test, Outcome.NOT_SEEN) for test in UNMEASURED):
        return ""
    return (
        f"Temperatures here look measured one by one: in {display.count(ward.n)} readings "
        "no value is charted too often, "
        "and numbers are not repeated more than chance brings."
    )


def _prompt(ward: Ward) -> str:
    keyed = ward.answer("entry-delay")
    if keyed is None or keyed.outcome is not Outcome.NOT_SEEN or keyed.effect is None:
        return ""
    if keyed.n < FEWEST_LATELY or keyed.effect > 1 - NEARLY_ALL:
        return ""
    late = round(keyed.effect * keyed.n)
    return f"{_floor_share(keyed.n - late, keyed.n)} of {display.count(keyed.n)} readings are keyed within the hour."


def _ended(ward: Ward, test: str, outcome: Outcome) -> bool:
    answer = ward.answer(test)
    return answer is not None and answer.outcome is outcome


def _floor_share(part: int, whole: int) -> str:
    """The share in whole per cents, rounded down.

    >>> _at_least(1999, 2000)
    '99 %'
    """
    return f"{floor(100 * part / whole)} %"
