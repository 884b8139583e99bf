"""Which kind of table a file is, from its headings and what its cells look like."""

from collections.abc import Callable, Sequence

from browline.columns import KINDS, required
from browline.errors import InputRefused
from browline.intake.guess import Guess, propose
from browline.intake.profile import Profile
from browline.intake.units import tokens
from browline.intake.words import word_set

_CLEANING = word_set("clean cleaned cleaning cleanings wipe wiped agent part lens disinfectant disinfected")
_SESSION = word_set(
    "session attended attendance outcome training course taught assessor signed competent competency sign"
)
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
    raise _none_fits(profiles)


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
