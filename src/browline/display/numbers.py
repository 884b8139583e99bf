"""Counts, shares and names in a row, as a reader sees them; small cells are withheld."""

from collections.abc import Sequence

FEWEST = 10
FEW_TO_ROUND = 200
FEWER = f"fewer than {FEWEST}"


def share(value: float) -> str:
    """A share in [0, 1] as a percentage.

    >>> share(0.0463)
    '4.6 %'
    """
    return f"{100 * value:.1f} %"


def share_span(low: float, high: float, n: int) -> str:
    """A 95 % interval of a share; whole per cents where few were counted.

    - `n`: what the share is of.

    >>> share_span(0.7438, 0.9654, 30), share_span(0.0533, 0.0561, 96838)
    ('74 to 97 %', '5.3 to 5.6 %')
    """
    decimals = 0 if n < FEW_TO_ROUND else 1
    return f"{100 * low:.{decimals}f} to {100 * high:.{decimals}f} %"


def percent(value: float) -> str:
    """A share in [0, 1] as a whole percentage.

    >>> percent(0.0463)
    '5 %'
    """
    return f"{100 * value:.0f} %"


def percent_span(low: float, high: float) -> str:
    """An interval of shares in [0, 1] in whole per cents.

    >>> percent_span(0.7438, 0.9654)
    '74 to 97 %'
    """
    return f"{100 * low:.0f} to {100 * high:.0f} %"


def in_a_hundred(value: float) -> str:
    """A share in [0, 1] as so many of a hundred.

    >>> in_a_hundred(0.0463)
    '5 in 100'
    """
    return f"{100 * value:.0f} in 100"


def number(n: int) -> str:
    """A whole number with thousands set apart.

    >>> number(1234567)
    '1,234,567'
    """
    return f"{n:,}"


def decimal(value: float, decimals: int = 1) -> str:
    """A number that has no unit of its own, rounded.

    >>> decimal(4.04), decimal(0.126, 2)
    ('4.0', '0.13')
    """
    return f"{value:.{decimals}f}"


def significant(value: float) -> str:
    """A number to three digits that matter.

    >>> significant(0.80004), significant(12.345)
    ('0.8', '12.3')
    """
    return f"{value:.3g}"


def count(n: int) -> str:
    """A count of readings; small cells are withheld.

    >>> count(9120), count(4)
    ('9,120', 'fewer than 10')
    """
    return FEWER if n < FEWEST else f"{n:,}"


def many(n: int, noun: str, plural: str = "") -> str:
    """A number with its noun.

    >>> many(1, "instrument"), many(12, "instrument")
    ('1 instrument', '12 instruments')
    """
    return f"{n:,} {noun if n == 1 else plural or noun + 's'}"


def listed(names: Sequence[str], most: int = 8) -> str:
    """Names in a row, cut off with a count.

    >>> listed(["FS-07"]), listed(["FS-07", "FS-12", "FS-30"], most=2)
    ('FS-07', 'FS-07, FS-12 and 1 more')
    """
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
