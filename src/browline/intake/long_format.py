"""The long format: one row per vital sign, a column naming which one, and only the temperatures to be taken.

That column may also say the unit. Where it says the unit that was once charted and the values have been
converted since ("Temperature Fahrenheit" beside 36.7), the values decide: they are not converted again.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from browline.intake.mapping import Keep
from browline.intake.not_a_body import is_no_body_temperature
from browline.intake.profile import Profile, is_date, is_number
from browline.intake.units import read_unit, tokens

# "Temperatur", "température" and "tempc" are temperatures; "temporal" is a site and "temporary" is none.
_TEMPERATURE = re.compile(r"\b((body|vs|pt|b)?temp(s|[eé]rat\w*)?[cf]?|tmp|8310 5|75539 7|bt)\b")
_MOST_WORDS = 500


@dataclass(frozen=True)
class LongFormat:
    """What was found: the filter, a unit for all rows or the heading of one per row, whether temperatures stand
    `alone` in the value column or beside other vital signs, and sentences of doubt."""

    keep: Keep | None = None
    unit: str | None = None
    unit_heading: str | None = None
    alone: bool = True
    doubts: tuple[str, ...] = ()


def is_temperature_word(text: str) -> bool:
    """Whether a vital sign's name means body temperature.

    >>> is_temperature_word("temp_c"), is_temperature_word("Temp Site"), is_temperature_word("Heart rate")
    (True, False, False)
    >>> is_temperature_word("Temporal"), is_temperature_word("Inspired gas temperature")
    (False, False)
    """
    return bool(_TEMPERATURE.search(" ".join(tokens(text)))) and not is_no_body_temperature(text)


def long_format(profiles: Sequence[Profile], value_unit: str | None) -> LongFormat:
    """The filter of a long format among the columns not otherwise taken; `value_unit` is what the values say.

    The column with the fewest temperature words is the filter, so that a category goes before a name.
    """
    filters = [(p, words) for p in profiles if (words := _temperature_words(p))]
    if not filters:
        return LongFormat()
    filter_, words = min(filters, key=lambda pair: len(pair[1]))
    keep = Keep(filter_.heading, words)
    filters.sort(key=lambda pair: pair[0] is not filter_)
    units_by_column = [(p, {read_unit(w) for w in ws}) for p, ws in filters]
    # Beside other vital signs the numbers of the column are not all temperatures and say no unit.
    alone = len(words) == len(filter_.texts)
    if value_unit is not None and alone:
        return LongFormat(keep, value_unit, doubts=_converted(units_by_column, value_unit))
    doubts = _site_rows(filter_)
    for _, units in units_by_column:
        if units in ({"C"}, {"F"}):
            return LongFormat(keep=keep, unit=units.pop(), unit_heading=None, alone=alone, doubts=doubts)
    per_row = [p.heading for p, units in units_by_column if units == {"C", "F"}]
    return LongFormat(
        keep=keep, unit=None, unit_heading=per_row[0] if per_row else None, alone=alone, doubts=doubts
    )


def _temperature_words(profile: Profile) -> tuple[str, ...]:
    """The words of a column that name body temperature, where the column is a short list of names."""
    if len(profile.texts) > _MOST_WORDS or profile.share(is_number) > 0.5 or profile.share(is_date) > 0.5:
        return ()
    return tuple(t for t in profile.texts if is_temperature_word(t) and len(t) < 80)


def _site_rows(profile: Profile) -> tuple[str, ...]:
    """A sentence where the site stands on a row of its own (practice, trap 5)."""
    names = [
        t
        for t in profile.texts
        if {"temp", "temperature"} & set(tokens(t)) and {"site", "source", "route"} & set(tokens(t))
    ]
    if not names:
        return ()
    return (
        f"The site stands on rows of its own (“{names[0]}”); they are not joined, so those sites are unknown.",
    )


def _converted(units_by_column: list[tuple[Profile, set[str | None]]], value_unit: str) -> tuple[str, ...]:
    charted_unit = "F" if value_unit == "C" else "C"
    names = [p.heading for p, units in units_by_column if charted_unit in units]
    return tuple(
        f"“{name}” speaks of °{charted_unit}, but the values are °{value_unit}: they were converted before "
        "and are taken as they stand."
        for name in names
    )
