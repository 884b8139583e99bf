"""The rules read for one patient.

    site     = the first site rule that holds and whose site nothing rules out
    cover    = the first cover rule that holds and is about that site; so the lens and the case
    fallbacks = the fallback rules that hold, not ruled out, each site once and not the site itself, in order

Waits and cautions are those about the site or the first fallback; every emergency that holds is given.
"""

from collections.abc import Sequence

from browline.site_choice.problem import Patient
from browline.site_choice.result import Choice, Outcome
from browline.site_choice.rule import KINDS, Kind, Rule

BY_SITE: tuple[Kind, Kind, Kind] = ("cover", "cleaning-lens", "cleaning-case")


def solve(patient: Patient, rules: Sequence[Rule]) -> Choice:
    """The one answer for this patient; `rules` in the order of `rules_of`."""
    facts = patient.facts
    holding: dict[str, list[Rule]] = {kind: [] for kind in KINDS}
    for rule in rules:
        if rule.when <= facts:
            holding[rule.kind].append(rule)
    ruled_out = {site for rule in holding["ruled-out"] for site in rule.sites}
    site = next(iter(_first_by_site(holding["site"], ruled_out)), None)
    chosen = site.sites[0] if site else ""
    fallbacks = _first_by_site(holding["fallback"], ruled_out | {chosen})
    cover, lens, case = (
        next((rule for rule in holding[kind] if rule.about(chosen)), None) for kind in BY_SITE
    )
    used = (chosen, fallbacks[0].sites[0] if fallbacks else "")
    return Choice(
        outcome=Outcome.ANSWERED if site and cover else Outcome.NOTHING_LEFT,
        site=site,
        cover=cover,
        lens=lens,
        case=case,
        fallbacks=fallbacks,
        waits=tuple(rule for rule in holding["wait"] if rule.about(*used)),
        ruled_out=tuple(holding["ruled-out"]),
        cautions=tuple(rule for rule in holding["caution"] if rule.about(*used)),
        emergencies=tuple(holding["emergency"]),
    )


def _first_by_site(rules: Sequence[Rule], ruled_out: set[str]) -> tuple[Rule, ...]:
    """The rules at sites that are not barred, in order; of two at one site the first."""
    first: dict[str, Rule] = {}
    for rule in rules:
        if rule.sites and rule.sites[0] not in ruled_out:
            first.setdefault(rule.sites[0], rule)
    return tuple(first.values())
