"""Which kind of table a file is, from its headings and what its cells look like."""

from collections.abc import Callable, Sequence

from browline.columns import KINDS, required
from browline.errors import InputRefused, NoTimes
from browline.intake.content import look
from browline.intake.non_numeric_words import word_set
from browline.intake.profile import Profile, safe_heading
from browline.intake.propose_mapping import Guess, propose
from browline.intake.units import tokens

_CLEANING = word_set("clean cleaned cleaning cleanings wipe wiped agent part lens disinfectant disinfected")
_SESSION = word_set(
    "session attended attendance outcome training course taught assessor signed competent competency sign"
)
_MOSTLY = 0.7
_OF_INSTRUMENTS = ("unit", "mode", "kind", "model", "ward", "from", "until")


def recognise(profiles: Sequence[Profile]) -> str:
    """The kind of a table; raises InputRefused, saying what each kind needs, where none fits.

    >>> from browline.intake.profile import profile
    >>> recognise([profile("Obs time", ["2026-03-07 10:00"]), profile("Temp", ["36.6"])])
    'readings'
    """
    for kind, fits in _TELLING.items():
        guess = propose(kind, profiles)
        if not guess.mapping.missing() and fits(guess, profiles):
            return kind
        if kind == "readings" and guess.mapping.missing() == ("time",) and _are_temperatures(guess, profiles):
            raise _no_times(guess)
    raise _none_fits(profiles)


def _are_temperatures(guess: Guess, profiles: Sequence[Profile]) -> bool:
    """Whether the column taken for the value holds people's temperatures, by what its cells look like."""
    value = [h for role, h in guess.mapping.columns.items() if role in ("value", "value_c", "value_f")]
    seen = [look(p) for p in profiles if p.heading in value]
    return any(s.in_c + s.in_f >= _MOSTLY for s in seen)


def _no_times(guess: Guess) -> NoTimes:
    heading = next(h for r, h in guess.mapping.columns.items() if r in ("value", "value_c", "value_f"))
    return NoTimes(
        f"Under “{safe_heading(heading)}” stand temperatures, and no column says at what time they were taken.",
        "Readings need the date and time of each, not minutes since admission or the like.",
        "Ask for that column, or say which heading holds the time with --map FILE.toml or on the Readings page.",
    )


def _named(guess: Guess, *columns: str) -> bool:
    """Whether a heading (not only the content) names each of these columns."""
    return all(guess.reasons.get(c, "").startswith("heading") for c in columns)


def _any(guess: Guess, *columns: str) -> bool:
    return any(c in guess.mapping.columns for c in columns)


def _says(profiles: Sequence[Profile], words: frozenset[str]) -> bool:
    return any(words & set(tokens(p.heading)) for p in profiles)


# In this order: the kinds that need most come first, so that a check is not taken for a reading.
_TELLING: dict[str, Callable[[Guess, Sequence[Profile]], bool]] = {
    "checks": lambda g, _: _named(g, "instrument", "reference", "shown"),
    "readings": lambda g, _: True,
    "cleanings": lambda g, p: _named(g, "instrument") and _says(p, _CLEANING),
    "sessions": lambda g, p: _named(g, "person") and _says(p, _SESSION),
    "events": lambda g, _: _named(g, "what"),
    "instruments": lambda g, _: _named(g, "instrument") and _any(g, *_OF_INSTRUMENTS),
    "people": lambda g, _: _named(g, "person") and _any(g, "role", "ward", "from", "until"),
}  # fmt: skip


def _none_fits(profiles: Sequence[Profile]) -> InputRefused:
    needs = "; ".join(f"{kind}: {', '.join(required(kind))}" for kind in KINDS)
    return InputRefused(
        f"The {len(profiles)} columns of the file fit none of the kinds we know.",
        f"Each kind needs certain columns ({needs}).",
        "Say what the file is with --as KIND, or give a mapping with --map FILE.toml.",
    )
