"""The pathway as it comes with the program, line by line: name, part, what it says, on whose word, by instructions."""

from typing import Any

TRADE = "common practice, no source"
OWN = "own suggestion, no source: local policy sets it"
CRITICAL_CARE = "critical-care fever guideline, Crit Care Med 2023;51:1570 (secondary source)"
NICE = "published: NICE NG143, recommendations 1.1.1 to 1.1.3"

ESCALATION: tuple[tuple[Any, ...], ...] = (
    ("ill", "escalate", "The patient looks ill, or somebody is worried: you, the patient, the family."),
    ("early-warning", "escalate", "An early-warning score, or any other trigger of the ward, asks for it."),
    (
        "immune", "escalate", "Neutropenia, chemotherapy, a transplant or any other immune suppression.",
        "published: neutropenic fever definitions (secondary source); whatever the number: common practice, no source",
    ),
    (
        "infant", "escalate", "Under 3 months old.",
        "published: NICE NG143 from {38.0} on (secondary source); whatever the number: common practice, no source",
    ),
    ("surgery", "escalate", "Recent surgery."),
)  # fmt: skip

MEANWHILE: tuple[tuple[Any, ...], ...] = (
    ("safer", "safer", "Act on the safer of the readings, high or low: the one that asks for more care."),
    (
        "both-or-none", "safer",
        "High and low lines both crossed: act on both. None crossed: go by the patient; worried, escalate now.",
    ),
    ("no-delay", "safer", "A repeat never delays care. Call, treat and watch while you measure again."),
    (
        "nothing-out", "safer", "A normal reading rules nothing out.",
        "published: Geijer 2016, a forehead scan finds 72 of 100 fevers (37 studies)",
    ),
)  # fmt: skip

ORDER: tuple[tuple[Any, ...], ...] = (
    ("look", "order", "Look at the patient: colour, breathing, behaviour, skin. Worse than before: escalate."),
    (
        "mislead", "order",
        "Look for what misleads: lens dull or wet; sweat; the side lain on; cover, hair or hat; a heater or warming "
        "blanket; just in from the cold; for the mouth, a drink.",
    ),
    ("pause", "order", "Wait as long as that asks for (see Waits). Care goes on meanwhile."),
    ("again", "order", "Repeat at the same site with the same instrument."),
    ("other-instrument", "order", "Second instrument at once: no third try with the first."),
    ("other-route", "order", "Still in doubt, or the two differ: another route, the first this patient can have."),
)  # fmt: skip

WAITS: tuple[tuple[Any, ...], ...] = (
    ("repeat", "wait", "Before a repeat on the same skin: about 30 s.", TRADE, True),
    ("bare", "wait", "After uncovering, or taking heat away: about 1 min."),
    ("drenched", "wait", "Drenched: dry the skin, then about 10 min."),
    (
        "cold", "wait", "In from the cold: at least 10 min indoors.",
        "published: 150 children (abstract); instructions say up to 30 min", True,
    ),
    (
        "drink", "wait", "Mouth: 15 min after a cold drink, 23 min after a hot one; to be sure 30 min.",
        "published studies of drinks (abstracts)",
    ),
)  # fmt: skip

SECOND: tuple[tuple[Any, ...], ...] = (
    ("alike", "second", "Same site, same side, same setting (core or oral-equivalent).", TRADE, True),
    (
        "shared", "second",
        "Two that agree show that the reading repeats, not that it is right: damp or cold skin misleads both alike.",
        "own judgement, no source",
    ),
    ("spare", "second", "An instrument in doubt: bring a spare, tag it, send it for a check."),
)  # fmt: skip

ROUTES: tuple[tuple[Any, ...], ...] = (
    ("core", "route", "A core probe already in place: read it first.", f"published: {CRITICAL_CARE}"),
    (
        "young", "route",
        "Under 5 years local policy decides: mouth and rectum not routinely; armpit, electronic; from 4 weeks on also "
        "ear, infrared.", NICE,
    ),
    ("oral", "route", "Mouth, if able to keep the probe in it closed.", f"published: {CRITICAL_CARE}"),
    (
        "rectal", "route",
        "Rectum, explained to the patient. Not with neutropenia, low platelets, rectal surgery or diarrhoea, "
        "nor where the cardiac or the newborn policy forbids it.",
    ),
    (
        "rectal-lags", "route",
        "After a fast change the rectum follows late; another rectal reading after 1 h shows the trend. "
        "Never a reason to wait: act and escalate now.",
        "common practice, no source; lag published: Gagnon 2010, about {d 0.8} behind the oesophagus after exercise",
    ),
    (
        "armpit", "route", "Armpit, electronic, as the fallback: it reads low.",
        "published: Lawson 2007, off by more than {d 0.5} in 27 of 100",
    ),
)  # fmt: skip

APART: tuple[tuple[Any, ...], ...] = (
    ("agree", "tolerance", "Within {d 0.3}: they agree. That does not make the patient well.", OWN),
    ("nearly", "tolerance", "{d 0.3} to {d 0.5}: repeat once more after the wait.", OWN),
    ("differ", "tolerance", "More than {d 0.5}: settle it by another route.", OWN),
    (
        "far", "tolerance",
        "More than {d 1.0}, or on two sides of a trigger: act on each that crosses a line, another route now, bring a "
        "spare, tag, send for a check.",
        OWN,
    ),
)  # fmt: skip

CHARTING: tuple[tuple[Any, ...], ...] = (
    (
        "chart",
        "chart",
        "Each value as read, with unit, site and time. Never add a degree, never average two.",
    ),
    ("since", "chart", "Minutes since an antipyretic, warming or exercise, where there was any."),
    ("not-taken", "chart", "Could not? Chart “not taken” and why."),
)

LINES = (*ESCALATION, *MEANWHILE, *ORDER, *WAITS, *SECOND, *ROUTES, *APART, *CHARTING)
