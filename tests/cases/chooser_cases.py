"""The cases of the chooser: a patient in plain words, asked in the chooser's words, and what a careful eye expects.

A word that the chooser does not ask about cannot be said; a case that needs it is not satisfied, whatever comes out.
What is not at hand cannot be done, so its reader goes down "If that cannot be done, in this order". That is the
reader's doing: the chooser does not know what is at hand.
"""

import json
import re
from dataclasses import dataclass
from pathlib import Path

from browline.site_choice import Choice, Patient, default, rules_of, solve

CASES = json.loads((Path(__file__).parent / "chooser.json").read_text(encoding="utf-8"))
PATIENTS = {one["id"]: one for one in CASES["patients"]}
AGES = {
    "newborn": "under-4-weeks",
    "3-12-months": "3-months-5-years",
    "1-4-years": "3-months-5-years",
    "5-17-years": "5-years-up",
    "adult": "5-years-up",
    "65-up": "5-years-up",
}
ISOLATIONS = {
    "none": "none",
    "contact": "contact",
    "droplet": "contact",
    "spores": "spore-forming",
    "resistant-yeast": "multi-resistant",
}
# A state of the cases in ticks. `no-profile` needs none: the chooser knows no profile of any instrument.
TICKED = {
    "agitated": {"no-oral"},
    "burn-forehead": {"forehead-injury"},
    "burn-mouth": {"forehead-injury", "no-oral"},
    "cannot-hold-probe": {"no-oral"},
    "cardiac-rectal-policy": {"no-rectal"},
    "cold-drink": {"drink"},
    "cold-in": {"came-in"},
    "cooled": {"cold-or-shut-down"},
    "covered": {"covered"},
    "drenched": {"damp"},
    "feared-cold": {"cold-or-shut-down"},
    "hair": {"covered"},
    "head-bandaged": {"bandaged"},
    "head-out-of-reach": {"head-out-of-reach"},
    "hot-drink": {"drink"},
    "lain-on-right": {"covered"},
    "neutropenic": {"neutropenia"},
    "no-oral": {"no-oral"},
    "no-profile": set(),
    "platelets-low": {"no-rectal"},
    "post-operative-bowel": {"no-rectal"},
    "rectal-contraindicated": {"no-rectal"},
    "seizure-risk": {"no-oral"},
    "shock": {"cold-or-shut-down"},
    "unstable": {"unstable"},
    "vasopressor": {"cold-or-shut-down"},
    "warmed": {"heat-in-path"},
    "worsening": {"looks-ill"},
}
# Sites of the chooser in the words of the cases.
SITES = {
    "core": {"bladder", "oesophageal"},
    "temporal": {"temporal"},
    "temporal-then-ear": {"temporal"},
    "behind-ear": {"behind-ear"},
    "femoral": {"femoral"},
    "chest-side": {"chest-side"},
    "oral": {"oral"},
    "rectal": {"rectal"},
    "tympanic": {"tympanic"},
    "axillary": {"axillary"},
    "local-policy": set(),
}
READ_BY = {
    "forehead-scan": {"temporal", "temporal-then-ear", "behind-ear", "femoral", "chest-side"},
    "ear": {"tympanic"},
    "contact-oral-axillary": {"oral", "axillary"},
    "contact-rectal": {"rectal"},
    "core-probe": {"core"},
    "low-reading-contact": {"axillary", "rectal"},
}
# What a cover or a lens text sends somebody to, in the words of the cases.
COVERS = {
    "probe-cover": r"new probe cover",
    "scanner-cover": r"whole-instrument cover",
    "dedicated-instrument": r"\bdedicated\b",
    "none-wiped": r"^None: the probe is wiped",
    "none": r"^None(?!: the probe is wiped)",
}
LENSES = {
    "by-its-instructions": r"instructions",
    "alcohol": r"\balcohol on\b",
    "bleach": r"(?<!no )bleach",
    "quaternary": r"(?<!no )quaternary",
}
RULES = rules_of(default())


@dataclass(frozen=True)
class Heard:
    """One answer as its reader takes it, with what is at hand; `unsaid` are words that could not be said."""

    case: dict
    choice: Choice
    unsaid: tuple[str, ...]

    @property
    def named(self):
        """Every site the answer sends somebody to, in order."""
        return [self.choice.site.sites[0], *(rule.sites[0] for rule in self.choice.fallbacks)]

    @property
    def open(self):
        """Those of them that something at hand can read, or a person can answer for."""
        at_hand = set().union(*(READ_BY[kind] for kind in self.case["kinds_at_hand"]))
        return [site for site in self.named if site in at_hand]

    def of(self, about):
        """What the answer holds about one thing, as words to be looked through."""
        return getattr(self, f"_{about}")()

    def _site_first(self):
        return SITES[self.open[0]] if self.open else set()

    def _site_offered(self):
        return set().union(*(SITES[site] for site in self.named))

    def _cover(self):
        return _found(COVERS, self.choice.cover.says)

    def _lens(self):
        return _found(LENSES, self.choice.lens.says)

    def _wait_minutes(self):
        return [
            float(n) for rule in self.choice.waits for n in re.findall(r"(\d+)(?= to| minute)", rule.says)
        ]

    def _call(self):
        return " ".join(rule.says for rule in self.choice.emergencies)

    def _first_words(self):
        return self.choice.escalate

    def _says(self):
        told = " ".join(f"{rule.says} {rule.why}" for rule in self.choice.rules)
        return f"{self.choice.escalate} {told} {self.choice.defers}"


def heard(case, *more):
    """Ask the chooser about this patient, in the chooser's words; `more`: ticks beside."""
    said = [TICKED.get(state) for state in case["states"]]
    unsaid = tuple(state for state, ticks in zip(case["states"], said, strict=True) if ticks is None)
    ticks = frozenset(more).union(*(ticks for ticks in said if ticks))
    patient = Patient(AGES[case["age_band"]], ISOLATIONS[case["isolation"]], ticks)
    return Heard(case, solve(patient, RULES), unsaid)


def wants(case, level):
    """What is expected at one level: for hard ones the patient's, and that every word could be said."""
    answer = heard(case)
    missed = [f"cannot be said: {word}" for word in answer.unsaid if level == "hard"]
    for one in case["must"]:
        if one["level"] == level and not _holds(one, answer):
            missed.append(f"must: {one['about']} {one['any_of']}, is {answer.of(one['about'])}")
    for one in case["must_not"]:
        if one["level"] == level and _holds(one, answer):
            missed.append(f"must not: {one['about']} {one['any_of']}, is {answer.of(one['about'])}")
    return missed


def _holds(expected, answer):
    is_so, any_of = answer.of(expected["about"]), expected["any_of"]
    if isinstance(is_so, str):
        return any(re.search(pattern, is_so, re.IGNORECASE) for pattern in any_of)
    if isinstance(is_so, list):
        return any(low <= number <= high for number in is_so for low, high in any_of)
    return bool(is_so & set(any_of))


def _found(words, text):
    return {word for word, pattern in words.items() if re.search(pattern, text)}
