"""The words of the log of questioned readings: closed lists, so that nothing in it can name anybody.

The causes are those of the trade for forehead scans (practice notes; common practice, no source for the list as such).
"""

CAUSES: dict[str, str] = {
    "damp": "damp or sweating",
    "covered": "covered, or heat in the path",
    "came-in": "in from the cold or the heat",
    "drink": "hot or cold drink",
    "lens": "lens dirty",
    "path": "path off the artery",
    "too-soon": "repeated too quickly",
    "mode-unit": "other mode or unit",
    "lag": "slower site (lag)",
    "battery": "battery or display",
    "mis-keyed": "wrong patient, or mis-keyed",
    "not-found": "not found",
}
NOT_FOUND = "not-found"

DEEDS: dict[str, str] = {
    "escalated": "escalated",
    "second": "second instrument used",
    "waited": "repeated after waiting",
    "other-site": "read at another site",
    "core-probe": "core probe read",
    "sent": "instrument sent for a check, a spare brought",
    "charted": "charted with its site",
    "nothing": "nothing further",
}
NOTHING = "nothing"

PARTS_OF_DAY: dict[str, str] = {
    "night": "night (00 to 06)",
    "morning": "morning (06 to 12)",
    "afternoon": "afternoon (12 to 18)",
    "evening": "evening (18 to 24)",
}

# Coarser than what the desk asks, so that no patient is picked out: where fever shows late or less, and the rest.
AGES: dict[str, str] = {
    "under-3-months": "under 3 months",
    "3-months-4-years": "3 months to 4 years",
    "5-64-years": "5 to 64 years",
    "65-up": "65 years or older",
}

TAKEN_BACK: dict[str, str] = {
    "twice": "entered twice",
    "mistake": "something in it is wrong; it is entered anew",
    "no-question": "no reading was questioned",
}
