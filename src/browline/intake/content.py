"""What the cells of a column look like, and which columns of ours they could or could not be."""

import re
from dataclasses import dataclass
from functools import lru_cache

from browline.columns import Column
from browline.intake.long_format import is_temperature_word
from browline.intake.profile import Profile, is_clock, is_date, is_day_number, is_moment, is_number
from browline.intake.site_words import read_site
from browline.intake.units import only_unit
from browline.intake.values import read_value
from browline.quantities.sites import UNKNOWN

_NAME = re.compile(
    r"[A-Z][a-z'’-]+,? +(?:[A-Z][a-z'’-]+|[A-Z]\.?)(?: [A-Z][a-z'’-]*\.?)?|[A-Z]{2,}, [A-Z][A-Za-z]+"
)
_DEGREES_C, _DEGREES_F = (34.0, 42.0), (93.0, 108.0)
_ENOUGH = 0.5


@dataclass(frozen=True)
class Look:
    """Shares, 0 to 1, of a column's filled cells that read as each thing; `empty` where it has none."""

    empty: bool
    moment: float
    date: float
    day_number: float
    clock: float
    number: float
    temperature: float
    in_c: float
    in_f: float
    decimal: float
    unit: float
    site: float
    name: float
    long: float
    age: float


@lru_cache(maxsize=512)
def look(profile: Profile) -> Look:
    """The look of a column, from its distinct texts and how often each occurs."""
    share = profile.share
    return Look(
        empty=not profile.texts,
        moment=share(is_moment),
        date=share(is_date),
        day_number=share(is_day_number),
        clock=share(is_clock),
        number=share(is_number),
        temperature=share(lambda t: read_value(t).celsius is not None),
        in_c=share(lambda t: _within(t, *_DEGREES_C)),
        in_f=share(lambda t: _within(t, *_DEGREES_F)),
        decimal=share(lambda t: bool(re.search(r"\d[.,]\d", t))),
        unit=share(lambda t: only_unit(t) is not None and "temp" not in t.lower()),
        site=share(lambda t: read_site(t)[0] != UNKNOWN),
        name=share(lambda t: bool(_NAME.fullmatch(t.strip()))),
        long=share(lambda t: len(t) > 40 or len(t.split()) > 6),
        age=share(lambda t: bool(re.match(r"\s*[<>]?\s*\d{1,3}([.,]\d+)?\s*(\+|y|m|d|w|$)", t))),
    )


def _within(text: str, low: float, high: float) -> bool:
    number = read_value(text).number
    return number is not None and low <= number <= high


def could_be(column: str, type_: str, profile: Profile) -> bool:
    """Whether the cells allow a column to be `column`; an empty column is allowed everything."""
    view = look(profile)
    if view.empty:
        return True
    if column == "date":
        return view.date + view.day_number >= _ENOUGH and view.moment < _ENOUGH
    if column == "clock":
        return view.clock >= _ENOUGH
    if type_ == "time":
        return view.date + view.day_number >= _ENOUGH
    if type_ == "date":
        return view.date + view.day_number >= 0.3
    if column == "age":
        return view.age >= 0.8
    if type_ == "number":
        return view.number >= 0.3 or view.temperature >= 0.3
    if type_ == "unit":
        return view.unit >= 0.8
    if type_ == "site":
        return view.site >= 0.2 or (view.number < 0.2 and view.date < 0.2 and view.name < 0.3)
    return _could_be_words(column, type_, view)


def _could_be_words(column: str, type_: str, view: Look) -> bool:
    if view.moment >= _ENOUGH or (view.decimal >= _ENOUGH and view.temperature >= _ENOUGH):
        return False
    if column in ("patient", "stay"):
        return view.name < _ENOUGH and view.long < 0.2
    if type_ == "identifier":
        return view.long < 0.2
    if column == "ward":
        return view.unit < 0.8 and view.long < 0.2 and view.decimal < _ENOUGH
    return column in ("note", "what") or view.long < 0.5


def content_score(column: Column, profile: Profile) -> float:
    """How strongly the cells alone, without any heading, say that a column is `column`: 0, or 0.5 to 0.9."""
    view = look(profile)
    if view.empty:
        return 0.0
    if column.name == "time" and view.moment >= 0.8:
        return 0.6 + 0.3 * view.moment
    if column.name == "value" and view.decimal >= 0.3 and view.in_c + view.in_f >= 0.7:
        return 0.5 + 0.3 * (view.in_c + view.in_f)
    if column.type == "unit" and view.unit >= 0.9:
        return 0.8
    if column.type == "site" and view.site >= 0.6 and not any(map(is_temperature_word, profile.texts)):
        return 0.5 + 0.3 * view.site
    return 0.0


def content_unit(profile: Profile) -> str | None:
    """The unit nearly all numbers of a temperature column are in (99 of 100); None where both occur."""
    view = look(profile)
    if view.in_c + view.in_f == 0:
        return None
    share_c = view.in_c / (view.in_c + view.in_f)
    return "C" if share_c >= 0.99 else "F" if share_c <= 0.01 else None
