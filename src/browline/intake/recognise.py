"""Which kind of table a file is, from its headings and what its cells look like."""

from collections.abc import Sequence

from browline.columns import IMPORT_KINDS, KINDS, Signs, required
from browline.errors import InputRefused, NoTimes
from browline.intake.content import look
from browline.intake.non_numeric_words import word_set
from browline.intake.profile import Profile, safe_heading
from browline.intake.propose_mapping import Guess, propose
from browline.intake.units import tokens

_MOSTLY = 0.7


def recognise(profiles: Sequence[Profile]) -> str:
    """The kind of a table; raises InputRefused, saying what each kind needs, where none fits.

    >>> from browline.intake.profile import profile
    >>> recognise([profile("Obs time", ["2026-03-07 10:00"]), profile("Temp", ["36.6"])])
    'readings'
    """
    for kind, signs in _SIGNS:
        guess = propose(kind, profiles)
        if not guess.mapping.missing() and _fits(signs, guess, profiles):
            return kind
        if kind == "readings" and guess.mapping.missing() == ("time",) and _are_temperatures(guess, profiles):
            raise _no_times(guess)
    raise _none_fits(profiles)


def _are_temperatures(guess: Guess, profiles: Sequence[Profile]) -> bool:
    """Whether the column taken for the value holds people's temperatures, by what its cells look like."""
    value = [h for role, h in guess.mapping.columns.items() if role in ("value", "value_c", "value_f")]
    views = [look(p) for p in profiles if p.heading in value]
    return any(s.in_c + s.in_f >= _MOSTLY for s in views)


def _no_times(guess: Guess) -> NoTimes:
    heading = next(h for r, h in guess.mapping.columns.items() if r in ("value", "value_c", "value_f"))
    return NoTimes(
        f"Under “{safe_heading(heading)}” stand temperatures, and no column says at what time they were taken.",
        "Readings need the date and time of each, not minutes since admission or the like.",
        "Ask for that column, or say which heading holds the time with --map FILE.toml or on the Readings page.",
    )


_SIGNS = sorted(
    ((row.id, row.signs) for row in IMPORT_KINDS.values() if row.signs is not None),
    key=lambda kind: kind[1].rank,
)


def _fits(signs: Signs, guess: Guess, profiles: Sequence[Profile]) -> bool:
    """Whether headings (not only the content) name what they must, and a column or a word that tells is there."""
    by_heading = all(guess.reasons.get(c, "").startswith("heading") for c in signs.headings)
    has_column = not signs.any_column or any(c in guess.mapping.columns for c in signs.any_column)
    words = word_set(signs.words)
    says_word = not words or any(words & set(tokens(p.heading)) for p in profiles)
    return by_heading and has_column and says_word


def _none_fits(profiles: Sequence[Profile]) -> InputRefused:
    needs = "; ".join(f"{kind}: {', '.join(required(kind))}" for kind in KINDS)
    return InputRefused(
        f"The {len(profiles)} columns of the file fit none of the kinds we know.",
        f"Each kind needs certain columns ({needs}).",
        "Say what the file is with --as KIND, or give a mapping with --map FILE.toml.",
    )
