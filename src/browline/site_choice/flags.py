"""What is asked about a patient: words that are typed for one answer, and kept nowhere.

Some follow from others: every age under five years is ``under-5``, every kind of isolation ``isolation``, and who is
too cold or in shock is ``unstable``: rules written before that word was asked go on heeding such a patient.
"""

from browline.quantities.sites import WAYS

AGES: dict[str, str] = {
    "under-4-weeks": "under 4 weeks",
    "4-weeks-3-months": "4 weeks to 3 months",
    "3-months-5-years": "3 months to 5 years",
    "5-years-up": "5 years or older",
}
ISOLATIONS: dict[str, str] = {
    "none": "no isolation",
    "contact": "isolation for another reason (contact, droplet)",
    "multi-resistant": "isolation for a multi-resistant organism",
    "spore-forming": "isolation for a spore-forming organism",
}
TICKS: dict[str, str] = {
    "looks-ill": "looks ill or is getting worse, whatever the number says",
    "core-probe": "a core probe is in place",
    "unstable": "unstable",
    "cold-or-shut-down": "feared to be too cold, being cooled, in shock or on a vasopressor (unstable too)",
    "fever-question": "the answer decides treatment (intensive care, sepsis being asked about)",
    "neutropenia": "neutropenia",
    "damp": "damp forehead or sweating",
    "forehead-injury": "injury, burn or surgery of head, face or neck; any large burn",
    "bandaged": "head bandaged, or covered where it cannot be uncovered",
    "head-out-of-reach": "neither forehead nor neck nor mouth can be reached",
    "covered": "hat, hair, pillow side or cover on the skin to be scanned",
    "heat-in-path": "something warm in view: a lamp, a heater, a blanket that warms",
    "came-in": "just came in from the cold or the heat",
    "drink": "hot or cold drink within the last half hour",
    "no-oral": "cannot keep a probe in the mouth, might bite it, or the mouth is sore or hurt",
    "no-rectal": "a reason against rectal (low platelets, bowel surgery, diarrhoea, local policy)",
}
UNDER_3_MONTHS, UNDER_5, ISOLATION = "under-3-months", "under-5", "isolation"
FOLLOWING: dict[str, str] = {
    UNDER_3_MONTHS: "under 3 months",
    UNDER_5: "under 5 years",
    ISOLATION: "isolation of any kind",
}

# Every word a rule may ask for. "none" is no condition, so no rule asks for it.
FLAGS: dict[str, str] = {
    **TICKS,
    **AGES,
    **{word: words for word, words in ISOLATIONS.items() if word != "none"},
    **FOLLOWING,
}

# What can rule a site out, short enough for a card.
SHORT_FLAGS: dict[str, str] = {
    **FLAGS,
    "damp": "damp",
    "cold-or-shut-down": "too cold, cooled, shock or vasopressor",
    "forehead-injury": "injury, burn or surgery",
    "bandaged": "bandaged",
    "head-out-of-reach": "head out of reach",
    "no-oral": "mouth not possible",
    "no-rectal": "reason against rectal",
}

# By the name in the rules of a book: how the site is said where rules are edited.
SITES: dict[str, str] = {way.in_rules: way.says for way in WAYS}
SHORT_SITES: dict[str, str] = {way.name: way.card for way in WAYS}
# Where a probe touches what it can carry away.
CONTACT = tuple(way.name for way in WAYS if way.touch == "contact")
SCANNED = tuple(way.name for way in WAYS if way.touch == "scan")
