"""Which site and which cover for this patient? One answer from flags, with waits, fallback and reasons.

    solve(Patient("5-years-up", "none", {"damp"}), rules_of(default())) -> Choice

One set of rules answers on the screen (`explain`) and on paper (`card`). It never reads as leave not to escalate.
"""

from browline.site_choice.card import Line, Part, card
from browline.site_choice.explain import Section, explain
from browline.site_choice.flags import AGES, FLAGS, ISOLATIONS, SITES, TICKS
from browline.site_choice.problem import Patient
from browline.site_choice.result import DEFERS, ESCALATE, Choice, Outcome
from browline.site_choice.rule import Rule
from browline.site_choice.rules import LAYOUT, check, default, rules_of
from browline.site_choice.solve import solve

__all__ = [
    "AGES",
    "DEFERS",
    "ESCALATE",
    "FLAGS",
    "ISOLATIONS",
    "LAYOUT",
    "SITES",
    "TICKS",
    "Choice",
    "Line",
    "Outcome",
    "Part",
    "Patient",
    "Rule",
    "Section",
    "card",
    "check",
    "default",
    "explain",
    "rules_of",
    "solve",
]
