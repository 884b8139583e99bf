"""The rules read for one patient.

    site     = the first site rule that holds and whose site nothing rules out
    cover    = the first cover rule that holds and is about that site; so the lens and the case
    fallback = the first fallback rule that holds, not ruled out, and not the site itself

Waits are those about the site or the fallback; every caution that holds is given.
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
    site = _first_site(holding, "site", barred)
    chosen = site.sites[0] if site else ""
    fallback = _first_site(holding, "fallback", barred | {chosen})
    cover, lens, case = (
        _first_about(holding, kind, chosen) for kind in ("cover", "cleaning-lens", "cleaning-case")
    )
    used = (chosen, fallback.sites[0] if fallback else "")
    return Choice(
        outcome=Outcome.ANSWERED if site and cover else Outcome.NOTHING_LEFT,
        site=site,
        cover=cover,
        lens=lens,
        case=case,
        fallback=fallback,
        waits=tuple(rule for rule in holding if rule.kind == "wait" and rule.about(*used)),
        ruled_out=tuple(out),
        cautions=tuple(rule for rule in holding if rule.kind == "caution" and rule.about(*used)),
    )


def _first_site(holding: Sequence[Rule], kind: Kind, barred: set[str]) -> Rule | None:
    return next((r for r in holding if r.kind == kind and r.sites and r.sites[0] not in barred), None)


def _first_about(holding: Sequence[Rule], kind: Kind, site: str) -> Rule | None:
    return next((r for r in holding if r.kind == kind and r.about(site)), None)
