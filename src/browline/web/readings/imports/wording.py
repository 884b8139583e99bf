"""The words of the mapping form."""

from browline.columns import IMPORT_KINDS, KINDS

KIND_WORDS = {kind: IMPORT_KINDS[kind].title for kind in KINDS}

ROLE_NAMES = {
    "date": "day",
    "clock": "time of day",
    "entered_date": "entered, day",
    "entered_clock": "entered, time of day",
    "value_c": "value in °C",
    "value_f": "value in °F",
}

REASON_WORDS = {"as saved": "as in the last file with these headings"}

ROLE_MEANINGS = {
    "date": "the day, where the time of day has a column of its own",
    "clock": "the time of day, where the day has a column of its own",
    "entered_date": "the day it was keyed, where that has a column of its own",
    "entered_clock": "the time of day it was keyed",
    "value_c": "the temperature in °C, beside the same in °F",
    "value_f": "the temperature in °F, beside the same in °C",
}
