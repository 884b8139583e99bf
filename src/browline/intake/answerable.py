"""What a file can and cannot answer, and the page that asks the data team for the missing columns."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from browline.columns import IMPORT_KINDS


@dataclass(frozen=True)
class Request:
    """One column to ask for: its canonical `column`, what to `ask` for in a data team's words, and `why`."""

    column: str
    ask: str
    why: str


@dataclass(frozen=True)
class Answers:
    """Sentences for the receipt, and the columns to ask the data team for."""

    can_answer: tuple[str, ...]
    cannot_answer: tuple[str, ...]
    requests: tuple[Request, ...]


@dataclass(frozen=True)
class _Need:
    """What a column of the readings makes possible, and what its absence prevents."""

    columns: tuple[str, ...]
    can: str
    cannot: str
    request: Request


_NEEDS = (
    _Need(
        ("instrument",),
        "Which instruments read high or low, since when, and what to do about them.",
        "Nothing about single instruments: no column says which thermometer was used.",
        Request("instrument", "the thermometer's asset, serial or device number with each temperature",
                "to find the instruments that read high or low and to send only those for a check"),
    ),
    _Need(
        ("patient", "stay"),
        "Which differences remain after allowing for whose temperature it was, and which numbers repeat the patient's "
        "last or the neighbour's.",
        "No comparison of instruments, sites or people fair to their patients: no column says whose readings "
        "belong together. Only the values themselves are audited.",
        Request("stay", "an admission or visit number (it becomes a keyed pseudonym before anything is stored)",
                "to compare readings of the same patient, and to see repeats and copied values"),
    ),
    _Need(
        ("site", "method"),
        "How sites of measurement differ, and how often the site is not charted.",
        "Nothing about sites: no column says where on the body the temperature was taken.",
        Request("site", "the body site or route of each temperature (temporal, oral, axillary, ...)",
                "because the same patient differs by half a degree and more between sites"),
    ),
    _Need(
        ("person",),
        "Where help with technique may be wanted, when asked for.",
        "Nothing about technique of single people: no column says who took or charted it.",
        Request("person", "the staff number of who charted it (or who took it, where known)",
                "to offer help with technique; results by person are shown only to those who teach"),
    ),
    _Need(
        ("ward",),
        "Which values on which ward are unlikely to have all been measured, and where charting habits need attention.",
        "No ward can be told from another: no column says where the patient was.",
        Request("ward", "the ward or unit at the time of the temperature",
                "to bring teaching and checks to the wards that need them"),
    ),
    _Need(
        ("entered",),
        "How long values wait to be keyed.",
        "Late or batch entry cannot be seen: no column says when it was keyed.",
        Request("entered", "the time the value was keyed, beside the time it was taken",
                "to tell late entry from measurement at the wrong time"),
    ),
    _Need(
        ("unit", "value_c", "value_f"),
        "Which unit each temperature was charted in.",
        "The unit has to be told from the heading or from the size of the numbers: no column says it.",
        Request("unit", "the unit in which each temperature was charted (°C or °F), before any conversion",
                "to find instruments set to the other unit and values typed in the wrong one"),
    ),
)  # fmt: skip


def can_answer(kinds_and_columns: Mapping[str, Collection[str]]) -> Answers:
    """What files with these columns can answer: kind -> canonical columns that hold something.

    >>> answers = can_answer({"readings": ["time", "value", "ward", "site"]})
    >>> [request.column for request in answers.requests]
    ['instrument', 'stay', 'person', 'entered', 'unit']
    """
    can = [row.answers for row in IMPORT_KINDS.values() if row.answers and row.id in kinds_and_columns]
    if "readings" not in kinds_and_columns:
        return Answers(tuple(can), (), ())
    have = set(kinds_and_columns["readings"])
    met = [need for need in _NEEDS if have & set(need.columns)]
    unmet = [need for need in _NEEDS if not have & set(need.columns)]
    values = (
        "Which values cannot be body temperatures, stand in the wrong unit, or were charted far too often."
    )
    return Answers(
        (values, *(need.can for need in met if need.can), *can),
        tuple(need.cannot for need in unmet),
        tuple(need.request for need in unmet),
    )
