"""The site and cover rules as a controlled document: every rule a row that can be edited, with its source."""

from collections.abc import Mapping, Sequence
from typing import Any

from browline.controlled import Field, Layout
from browline.errors import NotUnderstood
from browline.site_choice.cover_rules import CLEANING_RULES, COVER_RULES
from browline.site_choice.emergency_rules import EMERGENCY_RULES
from browline.site_choice.flags import FLAGS, SITES
from browline.site_choice.heed_rules import CAUTION_RULES, WAIT_RULES
from browline.site_choice.limits import LIMITS, lacking
from browline.site_choice.rule import KINDS, Rule, read_rule, rules_by_kind
from browline.site_choice.site_rules import FALLBACKS, RULED_OUT, SITE_RULES

TEMPERATURES = "Write a temperature as {38.0} and a difference as {d 0.5}: both units are then shown."

LAYOUT = Layout(
    kind="site-and-cover",
    title="Site and cover rules",
    row="rule",
    fields=(
        Field("id", "Name", needed=True, help="One short word; it names the rule in the history."),
        Field("kind", "What it settles", "choice", needed=True, choices=KINDS),
        Field("when", "When all of these hold", "many", choices=FLAGS, help="None: always."),
        Field(
            "sites",
            "Site",
            "many",
            choices=SITES,
            help="The one it chooses, those it rules out, or those it is about. None: all.",
        ),
        Field("says", "What it says", "long", needed=True, help=TEMPERATURES),
        Field("why", "Why", "long"),
        Field("priority", "Priority", "number", needed=True, help="Of two that hold, the higher is taken."),
        Field("source", "On whose word", needed=True),
        Field("published", "Published figure, and whether it agrees", "long"),
    ),
)


def default() -> dict[str, Any]:
    """The rules as they come with the program: trade practice with published guidance beside it."""
    groups = (
        EMERGENCY_RULES, LIMITS, SITE_RULES, RULED_OUT, FALLBACKS, COVER_RULES, CLEANING_RULES, WAIT_RULES,
        CAUTION_RULES,
    )  # fmt: skip
    return {"head": {}, "rows": [dict(row) for group in groups for row in group]}


def rules_of(body: Mapping[str, Any]) -> tuple[Rule, ...]:
    """The rules of a document's body and the limits it lacks, the highest priority first, else as they stand."""
    rows = [*body["rows"], *lacking(body["rows"])]
    return tuple(sorted((read_rule(row) for row in rows), key=lambda rule: -rule.priority))


def check(body: Mapping[str, Any]) -> None:
    """Refuse rules that could leave a patient without an answer.

    There must be a site that always holds and that no rule rules out, and a cover, a lens and a case rule that always
    hold for every site.
    """
    rules = rules_of(body)
    ruled_out = {site for rule in rules_by_kind(rules, "ruled-out") for site in rule.sites}
    always = [rule for rule in rules if not rule.when]
    if not any(rule.sites and rule.sites[0] not in ruled_out for rule in rules_by_kind(always, "site")):
        raise _gap("a site that always holds and is never ruled out")
    _for_every_site(always)


def _for_every_site(always: Sequence[Rule]) -> None:
    for kind in ("cover", "cleaning-lens", "cleaning-case"):
        if not any(not rule.sites for rule in rules_by_kind(always, kind)):
            raise _gap(f"a rule for {KINDS[kind]} that always holds, for every site")


def _gap(missing: str) -> NotUnderstood:
    return NotUnderstood(
        f"These rules lack {missing}.", "No patient may be left without an answer.", "Add such a rule."
    )
