"""One rule: when it holds, what it says, why, and on whose word."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from browline.quantities.sites import WAYS

Kind = Literal[
    "emergency", "site", "ruled-out", "cover", "cleaning-lens", "cleaning-case", "wait", "fallback", "caution"
]
KINDS: dict[str, str] = {
    "emergency": "emergency, said before the site",
    "site": "site",
    "ruled-out": "site not to use",
    "cover": "cover",
    "cleaning-lens": "cleaning the lens",
    "cleaning-case": "cleaning the case",
    "wait": "wait before the reading",
    "fallback": "if that cannot be done",
    "caution": "to heed",
}


# The name in the rules of a book -> the name in code.
_NAMES = {way.in_rules: way.name for way in WAYS}


@dataclass(frozen=True)
class Rule:
    """It holds where every word of `when` does (none: always).

    `sites`, names of `WAYS`: the one it chooses (site, fallback), those it rules out, or those it is about
    (none: all).
    The highest `priority` comes first; `published` is the figure that agrees or disagrees with it.
    """

    id: str
    kind: Kind
    when: frozenset[str]
    sites: tuple[str, ...]
    says: str
    why: str
    priority: float
    source: str
    published: str

    def about(self, *sites: str) -> bool:
        """Whether it is about one of these sites."""
        return not self.sites or any(site in sites for site in self.sites)


def rules_by_kind(rules: Iterable[Rule], kind: str) -> tuple[Rule, ...]:
    """The rules of one kind, in their order."""
    return tuple(rule for rule in rules if rule.kind == kind)


def read_rule(row: Mapping[str, Any]) -> Rule:
    """The rule that a row of the document writes down."""
    return Rule(
        id=row["id"],
        kind=row["kind"],
        when=frozenset(row["when"]),
        sites=tuple(_NAMES.get(word, word) for word in row["sites"]),
        says=row["says"],
        why=row["why"],
        priority=row["priority"] or 0.0,
        source=row["source"],
        published=row["published"],
    )
