"""The headings hospitals give their columns, in several habits, and the column of ours each one means.

Common practice, no source. The phrases of a column lie in its row (`browline.columns`), each as its words in small
letters. Headings that say names or dates of birth are never taken, whatever else they contain.
"""

from browline.columns import KINDS
from browline.intake.non_numeric_words import word_set
from browline.intake.units import tokens

# Words about the unit or the vital sign itself, dropped before a heading is compared.
_IDLE = word_set("c f celsius fahrenheit deg degree degrees degc degf °")

# Headings of the roles beside the columns of the contract: a time in two columns.
_ROLES: dict[str, str] = {
    "date": """
        date, obs date, observation date, date taken, recorded date, chart date, charted date, day,
        reading date, date of reading, measurement date, taken date, vitals date, vital date, service
        date, date of observation, effective date
    """,
    "clock": """
        time, obs time, observation time, time taken, recorded time, chart time, charted time, clock,
        hour, reading time, time of reading, measurement time, taken time, vitals time, vital time, tod,
        time of day, time of observation, hh mm
    """,
}
_PHRASES: dict[str, str] = _ROLES | {c.name: c.headings for kind in KINDS.values() for c in kind}

# Phrase -> its place in the list: of two headings that fit, the one nearer the front is the better.
PHRASES: dict[str, dict[str, int]] = {
    column: {" ".join(p.split()): rank for rank, p in reversed(list(enumerate(phrases.split(","))))}
    for column, phrases in _PHRASES.items()
}
_JOINED = {column: {p.replace(" ", "") for p in phrases} for column, phrases in PHRASES.items()}
_PER_RANK = 0.0005

# Headings made of these words hold names, births, addresses or free text about a person.
_NAMES = word_set(
    "surname forename firstname lastname fullname dob birth birthdate birthday address postcode zip "
    "zipcode phone telephone email mail kin gp street ssn insurance diagnosis sex gender ethnicity race "
    "religion"
)
_WHOSE = word_set(
    "patient pt first last full middle family given maiden subject nurse staff employee person "
    "preferred user performer provider"
)


def heading_words(heading: str) -> list[str]:
    """The words of a heading without those that only say a unit.

    >>> heading_words("Temp_F"), heading_words("Obs. Date/Time")
    (['temp'], ['obs', 'date', 'time'])
    """
    words = tokens(heading)
    return [w for w in words if w not in _IDLE] or words


def is_forbidden(heading: str) -> bool:
    """Whether a heading says names, births or the like, which are never taken.

    >>> is_forbidden("Patient Name"), is_forbidden("DOB"), is_forbidden("ward name"), is_forbidden("name")
    (True, True, False, True)
    """
    words = set(tokens(heading))
    if words & _NAMES or "".join(tokens(heading)) in _NAMES:
        return True
    return words == {"name"} or ("name" in words and bool(words & _WHOSE) and "user" not in words)


def heads_identifiers(heading: str) -> bool:
    """Whether a heading ends in "id": its numbers tell rows apart and measure nothing.

    >>> heads_identifiers("measurement_id"), heads_identifiers("resultid"), heads_identifiers("Temp")
    (True, True, False)
    """
    *_, last = tokens(heading) or [""]
    return last in ("id", "ids") or (last.endswith("id") and last[:-2] in _JOINED["value"])


def names_staff(heading: str) -> bool:
    """Whether a heading says the whole name of a member of staff, which the list of people may hold.

    >>> names_staff("Staff name"), names_staff("Patient name"), names_staff("Surname")
    (True, False, False)
    """
    return " ".join(tokens(heading)) in PHRASES["name"]


def heading_score(heading: str, column: str) -> float:
    """How well a heading names a column of ours: near 1 word for word, less where words are left over, else 0.

    >>> heading_score("Time", "time"), heading_score("Blood pressure", "value")
    (1.0, 0.0)
    """
    words = heading_words(heading)
    if not words or "concept" in words:  # a code of some vocabulary, not the thing itself
        return 0.0
    known = PHRASES[column]
    for phrase in (" ".join(words), " ".join(tokens(heading))):
        if phrase in known:
            return 1 - _PER_RANK * known[phrase]
    if "".join(words) in _JOINED[column]:
        return 0.95
    return max((_part(words, p.split()) for p in known), default=0.0)


def _part(words: list[str], phrase: list[str]) -> float:
    """A phrase inside a longer heading counts by how much of the heading it covers; one letter never does."""
    size = len(phrase)
    if size >= len(words) or len("".join(phrase)) < 3:
        return 0.0
    inside = any(words[i : i + size] == phrase for i in range(len(words) - size + 1))
    return 0.4 + 0.4 * size / len(words) if inside else 0.0


def is_heading(text: str) -> bool:
    """Whether a text is, word for word, a heading of some column we know."""
    return is_forbidden(text) or any(heading_score(text, column) >= 0.9 for column in PHRASES)
