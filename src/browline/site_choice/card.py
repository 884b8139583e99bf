"""The same rules as a card: lines to be read from the top, for a hand without a screen.

Whoever takes, in each part, the first line that fits (or every one, where the part says so) comes to the answer of
`solve`; the tests read every patient off both.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from browline.site_choice.flags import FLAGS, SCANNED, SHORT_FLAGS, SHORT_SITES
from browline.site_choice.rule import Rule, rules_by_kind

ANY_SCAN = "any scan"
FIRST = "Take the first line that fits."
EVERY = "Every line that fits."
PARTS: dict[str, tuple[str, str]] = {
    "emergency": ("First", EVERY),
    "site": ("Site", FIRST),
    "fallback": (
        "If that cannot be done",
        f"{FIRST} Leave out the site above. Cannot be done either: the next that fits.",
    ),
    "ruled-out": ("Not to use", EVERY),
    "wait": ("Wait", EVERY),
    "cover": ("Cover", FIRST),
    "cleaning-lens": ("Cleaning the lens", FIRST),
    "cleaning-case": ("Cleaning the case", FIRST),
    "caution": ("Heed", EVERY),
}


@dataclass(frozen=True)
class Line:
    """One line: it fits where every word of `when` holds and no group of `unless` holds whole.

    `sites` are those it chooses or is about, in short words; none: every site. A line about `ANY_SCAN` is about every
    way of scanning the skin.
    """

    when: tuple[str, ...]
    unless: tuple[tuple[str, ...], ...]
    sites: tuple[str, ...]
    says: str
    rule: Rule


@dataclass(frozen=True)
class Part:
    """A part of the card: its title, how it is read, its lines in order."""

    title: str
    how: str
    lines: tuple[Line, ...]


def card(rules: Sequence[Rule]) -> tuple[Part, ...]:
    """The card of these rules, in the order of `rules_of`; parts that hold nothing are left out."""
    return tuple(
        Part(title, how, tuple(_line(rule, rules) for rule in rules_by_kind(rules, kind)))
        for kind, (title, how) in PARTS.items()
        if rules_by_kind(rules, kind)
    )


def _line(rule: Rule, rules: Sequence[Rule]) -> Line:
    chooses = rule.kind in ("site", "fallback")
    return Line(
        when=_words(rule.when, FLAGS),
        unless=_unless(rule.sites[0], rules) if chooses and rule.sites else (),
        sites=_sites(rule),
        says=rule.says,
        rule=rule,
    )


def _unless(site: str, rules: Sequence[Rule]) -> tuple[tuple[str, ...], ...]:
    return tuple(
        _words(rule.when, SHORT_FLAGS) for rule in rules_by_kind(rules, "ruled-out") if site in rule.sites
    )


def _words(when: frozenset[str], words: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(text for word, text in words.items() if word in when)


def _sites(rule: Rule) -> tuple[str, ...]:
    if set(rule.sites) == set(SCANNED):
        return (ANY_SCAN,)
    return tuple(SHORT_SITES[site] for site in rule.sites)
