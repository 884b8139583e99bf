"""What does this file say? Headings and column summaries in; a mapping, repairs and reasons out, as a plan.

No file, no clock: everything works on distinct texts and column summaries, and a store carries the plan out
over a million rows. Every repair is a code of `REPAIRS`, every row set aside has a code of `REASONS`.
"""

from browline.intake.answerable import Answers, Request, can_answer
from browline.intake.closed_lists import read_closed, read_tick
from browline.intake.codes import REASONS, REPAIRS
from browline.intake.daily_low_check import daily_low_warning
from browline.intake.dates import date_part, in_words, settle_dates
from browline.intake.fhir import FhirRow, fhir_rows
from browline.intake.header import TOTALS, Header, find_header, is_totals_row
from browline.intake.identifiers import looks_shared, match_instrument, match_person, read_identifier
from browline.intake.likeness import CANNOT_BE, EDGES, MENDED, Picture, doubt, much_mended, unlike_people
from browline.intake.long_format import is_temperature_word
from browline.intake.mapping import Keep, Mapping, from_toml
from browline.intake.not_a_body import is_non_body_site, refuse_things
from browline.intake.people_text import read_age, read_note
from browline.intake.profile import Profile, profile, safe_heading, signature
from browline.intake.propose_mapping import Guess, propose
from browline.intake.recognise import recognise
from browline.intake.redact import redacted_time, redacted_value
from browline.intake.site_words import read_site
from browline.intake.time_formats import format_repair, time_formats
from browline.intake.time_text import EARLIEST, OFFSET, shape, split_offset
from browline.intake.times import TimeRead, join_time, read_time
from browline.intake.units import read_unit
from browline.intake.value_by_range import ValueRead
from browline.intake.value_pairs import read_value_pair
from browline.intake.values import read_value
from browline.intake.wards import plain_ward, ward_suggestions
from browline.intake.zones import Stretch, zone_stretches

__all__ = [
    "CANNOT_BE",
    "EARLIEST",
    "EDGES",
    "MENDED",
    "OFFSET",
    "REASONS",
    "REPAIRS",
    "TOTALS",
    "Answers",
    "FhirRow",
    "Guess",
    "Header",
    "Keep",
    "Mapping",
    "Picture",
    "Profile",
    "Request",
    "Stretch",
    "TimeRead",
    "ValueRead",
    "can_answer",
    "daily_low_warning",
    "date_part",
    "doubt",
    "fhir_rows",
    "find_header",
    "format_repair",
    "from_toml",
    "in_words",
    "is_non_body_site",
    "is_temperature_word",
    "is_totals_row",
    "join_time",
    "looks_shared",
    "match_instrument",
    "match_person",
    "much_mended",
    "plain_ward",
    "profile",
    "propose",
    "read_age",
    "read_closed",
    "read_identifier",
    "read_note",
    "read_site",
    "read_tick",
    "read_time",
    "read_unit",
    "read_value",
    "read_value_pair",
    "recognise",
    "redacted_time",
    "redacted_value",
    "refuse_things",
    "safe_heading",
    "settle_dates",
    "shape",
    "signature",
    "split_offset",
    "time_formats",
    "unlike_people",
    "ward_suggestions",
    "zone_stretches",
]
