"""Words for the closed lists of the contract: kind of care, mode, kind of thermometer, outcome, part.

Common practice, no source. A word we do not know is None: the cell counts as blank, and its row is taken.
"""

from browline.columns import column
from browline.intake.non_numeric_words import plain

# Ticks and crosses as spreadsheets show them (practice, trap 13).
_YES = ("yes", "y", "1", "x", "true", "t", "done", "ok", "✓", "✔", "☑", "√", "🗸", "+", "p", "present")
_NO = ("no", "n", "0", "false", "f", "not done", "✗", "✘", "☐", "-", "absent", "dna", "did not attend")

_TEXTS: dict[tuple[str, str], dict[str, str]] = {
    ("readings", "care"): {
        "intensive": """
            icu, itu, intensive, intensive care, critical care, critical, ccu, micu, sicu, cvicu, nicu,
            picu, hdu, high dependency, coronary care, neuro icu, stepdown, step down, imcu
        """,
        "emergency": """
            ed, er, a&e, ae, emergency, emergency department, emergency room, casualty, accident and
            emergency, urgent care, emergency dept
        """,
        "theatre": """
            or, ot, theatre, theater, operating room, operating theatre, procedural, pacu, recovery,
            surgery suite, periop, perioperative, procedure
        """,
        "ward": """
            ward, floor, inpatient, acute, acute care, general, general ward, med surg, medical,
            surgical, telemetry, general care, medsurg
        """,
    },
    ("instruments", "mode"): {
        "core": "core, arterial, arterial core, arterial/core, core equivalent, art, arterial mode",
        "oral-equivalent": "oral equivalent, oral-equivalent, oral, oral equiv, oral mode, oral calibrated",
        "direct": "direct, unadjusted, surface, raw, blackbody, black body, cal, direct mode, none",
    },
    ("instruments", "kind"): {
        "forehead-scan": """
            forehead scan, forehead-scan, forehead, temporal, temporal artery, temporal scanner,
            temporal artery thermometer, tat, ta, artery scanner, scanner
        """,
        "ear": "ear, tympanic, tymp, aural, infrared ear, ir ear",
        "contact": """
            contact, electronic, digital, oral, predictive, oral axillary, electronic contact, stick
        """,
        "probe": "probe, core probe, foley, bladder, oesophageal, esophageal, catheter, continuous",
    },
    ("cleanings", "part"): {
        "lens": "lens, lense, optic, optics, window, probe lens, sensor, lens only",
        "case": "case, body, housing, casing, shell, outside, handle, exterior, surface",
    },
    ("sessions", "outcome"): {
        "signed-off": """
            signed off, signed-off, sign off, signoff, competent, passed, pass, met, achieved,
            validated, completed, complete, s/o, so, met expectations
        """,
        "not-yet": """
            not yet, not-yet, not competent, not yet competent, failed, fail, not met, repeat, needs
            practice, needs further practice, refer, remediation, incomplete, not signed off
        """,
        "attended": "attended, attend, attending, present, here, came, participated, trained",
    },
}
_TEXTS["checks", "mode"] = _TEXTS["instruments", "mode"]

_WORDS = {
    where: {choice: {" ".join(w.split()) for w in words.split(",")} for choice, words in choices.items()}
    for where, choices in _TEXTS.items()
}


def read_closed(kind: str, name: str, text: str) -> str | None:
    """The choice of a closed column that a cell means; None where it is blank or means none.

    >>> read_closed("readings", "care", "ICU"), read_closed("sessions", "outcome", "✓")
    ('intensive', 'attended')
    """
    cell = plain(text).strip(" .:;")
    if cell in column(kind, name).choices:
        return cell
    if (kind, name) == ("sessions", "outcome"):
        ticked = read_tick(text)
        if ticked is not None:
            return "attended" if ticked else None
    for choice, words in _WORDS[kind, name].items():
        if cell in words or cell.replace("-", " ") in words:
            return choice
    return None


def read_tick(text: str) -> bool | None:
    """Whether a cell is ticked (True), crossed (False) or something else (None).

    >>> read_tick("Y"), read_tick("x"), read_tick("✓"), read_tick("no"), read_tick("12 March")
    (True, True, True, False, None)
    """
    cell = plain(text)
    if text.strip() in _YES or cell in _YES:
        return True
    return False if text.strip() in _NO or cell in _NO else None
