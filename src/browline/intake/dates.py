"""The order of day, month and year, settled from all distinct dates of a file, and asked for where it cannot be.

One date above 12 settles a whole file; none, or one for each order, cannot be guessed (practice, trap 7).
"""

import re
from collections.abc import Iterable

from browline.errors import Undecided
from browline.intake.time_text import ORDERS

_NUMERIC = re.compile(r"^\s*(\d{1,4})[./\-\s](\d{1,2})[./\-\s](\d{1,4})(?!\d)")


def date_part(text: str) -> str:
    """The date at the start of a time text, where it is written in bare numbers; "" otherwise.

    >>> date_part("07/03/2026 14:05"), date_part("7 Mar 2026")
    ('07/03/2026', '')
    """
    match = _NUMERIC.match(text)
    return match.group(0).strip() if match else ""


def settle_dates(date_texts: Iterable[str]) -> str:
    """The date order of a file: "ymd", "dmy" or "mdy".

    `date_texts`: all distinct dates (or whole time texts) of the file. Dates with the year first in four
    digits, with month names, or as day numbers fit any order and settle nothing.

    Raises `Undecided` where the dates fit more than one order, or where some fit only one order and some
    only another.

    >>> settle_dates(["03/07/2026", "14/07/2026"]), settle_dates(["2026-03-07 10:00"])
    ('dmy', 'ymd')
    """
    fits = [possible for text in set(date_texts) if (possible := _orders(text))]
    if not fits:
        return "ymd"
    orders = set.intersection(*fits)
    if len(orders) == 1:
        return orders.pop()
    if orders:
        raise _cannot_tell(tuple(o for o in ORDERS if o in orders), len(fits))
    raise _both(fits)


def _orders(text: str) -> set[str]:
    """The orders in which a date of bare numbers can be a day; empty where it settles nothing."""
    match = _NUMERIC.match(text)
    if not match or len(match[1]) == 4:
        return set()
    candidates = ("dmy", "mdy") if len(match[3]) == 4 else ORDERS
    parts = [int(g) for g in match.groups()]
    return {
        order for order in candidates if len(match[order.index("y") + 1]) != 1 and _possible(parts, order)
    }


def _possible(parts: list[int], order: str) -> bool:
    month, day = parts[order.index("m")], parts[order.index("d")]
    return 1 <= month <= 12 and 1 <= day <= 31


_IN_WORDS = {"ymd": "year, month, day", "dmy": "day, month, year", "mdy": "month, day, year"}


def in_words(order: str) -> str:
    """An order as people say it.

    >>> in_words("dmy")
    'day, month, year'
    """
    return _IN_WORDS[order]


def _options(choices: tuple[str, ...]) -> str:
    return " or ".join(f"--date-order {order}" for order in choices)


def _cannot_tell(choices: tuple[str, ...], dates: int) -> Undecided:
    ways = " or ".join(_IN_WORDS[c] for c in choices)
    return Undecided(
        f"Each of the {dates} different dates of the file can be read as {ways}.",
        "One of them is needed, and a guess would move readings by months.",
        f"Say which: {_options(choices)} in the terminal, or answer on the Readings page.",
        "Which order are the dates written in?",
        choices,
    )


def _both(fits: list[set[str]]) -> Undecided:
    counts = {order: sum(possible == {order} for possible in fits) for order in ORDERS}
    counts_in_words = ", ".join(f"{n} only as {_IN_WORDS[o]}" for o, n in counts.items() if n)
    return Undecided(
        f"The dates of the file are written in more than one order ({counts_in_words or 'no order fits all'}).",
        "One order is needed for a file.",
        f"Mend the export, or say which order to take ({_options(ORDERS)}): dates that do not fit it are set aside.",
        "Which order are most of the dates written in?",
        tuple(o for o, n in counts.items() if n) or ORDERS,
    )
