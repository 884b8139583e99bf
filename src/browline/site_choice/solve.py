"""The rules read for one patient.

    site     = the first site rule that holds and whose site nothing rules out
    cover    = the first cover rule that holds and is about that site; so the lens and the case
    fallbacks = the fallback rules that hold, not ruled out, each site once and not the site itself, in order

Waits and cautions are those about the site or the first fallback; every emergency that holds is given.
"""

from collections.abc import Sequence

from browline.site_choice.problem import Patient
from browline.site_choice.result import Choice, Outcome
from browline.site_choice.rule import Kind, Rule


def solve(patient: Patient, rules: Sequence[Rule]) -> Choice:
    """The one answer for this patient; `rules` in the order of `rules_of`."""
    facts = patient.facts
    holding = [rule for rule in rules if rule.when <= facts]
    out = [rule for rule in holding if rule.kind == "ruled-out"]
    barred = {site for rule in out for site in rule.sites}
    site = next(iter(_at_sites(holding, "site", barred)), None)
    chosen = site.sites[0] if site else ""
    fallbacks = _at_sites(holding, "fallback", barred | {chosen})
    cover, lens, case = (
        _first_about(holding, kind, chosen) for kind in ("cover", "cleaning-lens", "cleaning-case")
    )
    used = (chosen, fallbacks[0].sites[0] if fallbacks else "")
    return Choice(
        outcome=Outcome.ANSWERED if site and cover else Outcome.NOTHING_LEFT,
        site=site,
        cover=cover,
        lens=lens,
        case=case,
        fallbacks=fallbacks,
        waits=tuple(rule for rule in holding if rule.kind == "wait" and rule.about(*used)),
        ruled_out=tuple(out),
        cautions=tuple(rule for rule in holding if rule.kind == "caution" and rule.about(*used)),
        emergencies=tuple(rule for rule in holding if rule.kind == "emergency"),
    )


def _at_sites(holding: Sequence[Rule], kind: Kind, barred: set[str]) -> tuple[Rule, ...]:
    """The rules of this kind at sites that are not barred, in order; of two at one site the first."""
    found: dict[str, Rule] = {}
    for rule in holding:
        if rule.kind == kind and rule.sites and rule.sites[0] not in barred:
            found.setdefault(rule.sites[0], rule)
    return tuple(found.values())


def _first_about(holding: Sequence[Rule], kind: Kind, site: str) -> Rule | None:
    return next((r for r in holding if r.kind == kind and r.about(site)), None)
