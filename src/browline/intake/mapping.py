"""A mapping: which heading holds which column of ours, as a value and as a TOML text she can edit.

The text is what is shown, saved and reused; it names headings only, never a cell, except the words of the
long format's filter and the ward aliases she has agreed to.
"""

import tomllib
from dataclasses import dataclass, field
from typing import Any

from browline.columns import KINDS
from browline.errors import InputRefused
from browline.intake.time_text import ORDERS

# Roles beside the columns of the contract: a time in two columns, both units side by side.
SPLIT_ROLES = ("date", "clock", "entered_date", "entered_clock", "value_c", "value_f")


@dataclass(frozen=True)
class Keep:
    """The filter of a long format: only rows whose cell under `heading` is one of `words` are taken.

    The other rows are set aside as `not-a-temperature`. Words are compared without case and outer spaces.
    """

    heading: str
    words: tuple[str, ...]


@dataclass(frozen=True)
class Mapping:
    """How a file is read.

    - `columns`: canonical name or role -> heading.
    - `unit`: "C" or "F", the unit of every number that does not say its own; None where not known.
    - `date_order`: "ymd", "dmy", "mdy"; None where not needed or not decided.
    - `zone`: the ward's time zone, as in the IANA list; None where not said.
    - `keep`: the long format's filter. - `site_fallback`: a heading whose words may name the site where
      the site's own cell is blank. - `ward_aliases`: ward as charted -> ward it is to count as.
    """

    kind: str
    columns: dict[str, str]
    unit: str | None = None
    date_order: str | None = None
    zone: str | None = None
    keep: Keep | None = None
    site_fallback: str | None = None
    ward_aliases: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse a mapping that names what there is not, once."""
        _check_known("kind", self.kind, tuple(KINDS))
        known = tuple(c.name for c in KINDS[self.kind]) + SPLIT_ROLES
        for name in self.columns:
            _check_known("column", name, known)
        if self.unit is not None:
            _check_known("unit", self.unit, ("C", "F"))
        if self.date_order is not None:
            _check_known("date_order", self.date_order, ORDERS)

    def missing(self) -> tuple[str, ...]:
        """Required columns that no heading holds, roles that stand for them counted.

        >>> Mapping("readings", {"date": "Date", "clock": "Time"}).missing()
        ('value',)
        """
        have = set(self.columns)
        stand_in = {
            "time": {"date", "clock"} <= have or "date" in have,
            "value": have & {"value_c", "value_f"},
        }
        required = (c.name for c in KINDS[self.kind] if c.required)
        return tuple(n for n in required if n not in have and not stand_in.get(n))

    @property
    def row_filter(self) -> Keep | None:
        """The filter as it stands: a column that says the site names no vital signs, so it keeps no row out."""
        return None if self.keep is None or self.keep.heading == self.columns.get("site") else self.keep

    def as_toml(self) -> str:
        """The mapping as a TOML text with a comment beside each column."""
        lines = ["# How this file is read. Left of =: our name. Right: the heading in the file.", ""]
        lines += [f"kind = {_quoted(self.kind)}"]
        lines += _setting("unit", self.unit, "C or F where the cells do not say; leave out if both occur")
        lines += _setting("date_order", self.date_order, "ymd, dmy or mdy")
        lines += _setting("zone", self.zone, "the ward's time zone, such as Europe/London")
        lines += _setting(
            "site_fallback", self.site_fallback, "a heading to look for the site in, where it is blank"
        )
        meanings = {c.name: c.meaning for c in KINDS[self.kind]} | _ROLE_MEANINGS
        lines += ["", "[columns]"]
        lines += [f"{n} = {_quoted(h)}  # {meanings[n]}" for n, h in self.columns.items()]
        if self.keep:
            words = ", ".join(_quoted(w) for w in self.keep.words)
            lines += [
                "",
                "[keep]  # only these rows are temperatures",
                f"heading = {_quoted(self.keep.heading)}",
            ]
            lines += [f"words = [{words}]"]
        if self.ward_aliases:
            lines += ["", "[ward_aliases]  # ward as charted = ward it counts as"]
            lines += [f"{_quoted(a)} = {_quoted(b)}" for a, b in self.ward_aliases.items()]
        return "\n".join(lines) + "\n"


_ROLE_MEANINGS = {
    "date": "the day, where the time of day has a column of its own",
    "clock": "the time of day, where the day has a column of its own",
    "entered_date": "the day it was keyed",
    "entered_clock": "the time of day it was keyed",
    "value_c": "the temperature in Celsius, beside the same in Fahrenheit",
    "value_f": "the temperature in Fahrenheit, beside the same in Celsius",
}


def from_toml(text: str) -> Mapping:
    """The mapping in a TOML text; raises InputRefused, saying what is wrong with it.

    >>> from_toml('kind = "readings"\\n[columns]\\ntime = "Obs time"\\nvalue = "Temp"').columns["value"]
    'Temp'
    """
    try:
        read = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise InputRefused(
            f"The mapping is not TOML: {fault}.", "It has lines such as", 'time = "Obs time".'
        ) from fault
    known = ("kind", "unit", "date_order", "zone", "site_fallback", "columns", "keep", "ward_aliases")
    for name in read:
        _check_known("entry", name, known)
    keep = read.pop("keep", None)
    for name in ("columns", "ward_aliases"):
        _check_words(name, read.setdefault(name, {}))
    return Mapping(**{"kind": read.pop("kind", "")} | _words(read), keep=_keep(keep))


def _words(read: dict[str, Any]) -> dict[str, Any]:
    for name in ("unit", "date_order", "zone", "site_fallback"):
        if not isinstance(read.get(name, ""), str):
            raise InputRefused(
                f"{name} in the mapping is {read[name]!r}.", "A word is wanted.", "Put it in quotes."
            )
    return read


def _keep(table: Any) -> Keep | None:
    if table is None:
        return None
    right = (
        isinstance(table, dict)
        and isinstance(table.get("heading"), str)
        and isinstance(table.get("words"), list)
    )
    if not right or not all(isinstance(w, str) for w in table["words"]):
        raise InputRefused(
            "[keep] in the mapping is not complete.",
            "It holds a heading and a list of words.",
            "Mend it or leave it out.",
        )
    return Keep(table["heading"], tuple(table["words"]))


def _check_words(name: str, table: Any) -> None:
    if not isinstance(table, dict) or not all(isinstance(v, str) for v in table.values()):
        raise InputRefused(
            f"[{name}] in the mapping is not a list of words.", 'Each line is name = "heading".', "Mend it."
        )


def _check_known(subject: str, came: str, wanted: tuple[str, ...]) -> None:
    if came not in wanted:
        raise InputRefused(
            f"The mapping has the {subject} “{came}”.",
            f"Known are: {', '.join(wanted)}.",
            "Mend the mapping.",
        )


def _setting(name: str, value: str | None, comment: str) -> list[str]:
    return [f'# {name} = ""  # {comment}' if value is None else f"{name} = {_quoted(value)}  # {comment}"]


_ESCAPED = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def _quoted(text: str) -> str:
    """A TOML basic string: quotes, backslashes and control characters escaped."""
    return '"' + "".join(_ESCAPED.get(c) or (f"\\u{ord(c):04x}" if _is_control(c) else c) for c in text) + '"'


def _is_control(character: str) -> bool:
    return ord(character) < 0x20 or ord(character) == 0x7F
