"""Where on the body a temperature was taken: canonical names, standard codes, and the words charts use.

Codes: LOINC and SNOMED CT as published in the HL7 FHIR R4 vital-signs profiles and the US vitals
implementation guide (STU1). The words are common practice, no source. A word that could mean two sites
("T": temporal or tympanic) is `unknown`: the reading is kept and the word counted, never guessed.
"""

import re

UNKNOWN = "unknown"

SITES: tuple[str, ...] = (
    "temporal",
    "oral",
    "rectal",
    "axillary",
    "tympanic",
    "bladder",
    "oesophageal",
    "nasopharyngeal",
    "intravascular",
    "behind-ear",
    "femoral",
    "chest-side",
    UNKNOWN,
)

CORE_SITES: tuple[str, ...] = ("bladder", "oesophageal", "nasopharyngeal", "intravascular")

# Sites with a technique of their own that the model does not yet tell from the instrument.
NOT_TOLD_APART: tuple[str, ...] = ("oral", "axillary")

BODY_TEMPERATURE_LOINC = "8310-5"

LOINC_SITES: dict[str, str] = {
    BODY_TEMPERATURE_LOINC: UNKNOWN,
    "8329-5": UNKNOWN,
    "8331-1": "oral",
    "8332-9": "rectal",
    "8328-7": "axillary",
    "8333-7": "tympanic",
    "76011-6": "tympanic",
    "75539-7": "temporal",
    "8330-3": "intravascular",
    "60834-9": "intravascular",
    "8334-5": "bladder",
    "60836-4": "oesophageal",
    "60838-0": "nasopharyngeal",
    "104063-3": "femoral",
}

SNOMED_SITES: dict[str, str] = {
    "52795006": "temporal",
    "117590005": "tympanic",
    "42859004": "tympanic",
    "74262004": "oral",
    "34402009": "rectal",
    "422543003": "axillary",
    "71836000": "nasopharyngeal",
}

SITE_WORDS: dict[str, tuple[str, ...]] = {
    "temporal": (
        "temporal", "temporal artery", "temporal scan", "temporal scanner", "ta", "tat", "tas", "forehead",
        "forehead scan", "forehead scanner", "artery scan", "temp art", "temporalis", "brow",
    ),
    "oral": ("oral", "po", "mouth", "sublingual", "by mouth", "oral cavity", "per os"),
    "rectal": ("rectal", "rectum", "pr", "rect", "per rectum"),
    "axillary": ("axillary", "axilla", "ax", "axil", "axillar", "armpit", "underarm", "under arm"),
    "tympanic": ("tympanic", "tymp", "ear", "tm", "aural", "tympanic membrane", "ear canal", "auricular"),
    "bladder": ("bladder", "foley", "urinary", "urinary bladder", "catheter bladder", "vesical"),
    "oesophageal": ("oesophageal", "esophageal", "oesophagus", "esophagus", "eso", "oes", "esoph"),
    "nasopharyngeal": ("nasopharyngeal", "nasopharynx", "np"),
    "intravascular": ("intravascular", "blood", "pa catheter", "pulmonary artery"),
    "behind-ear": ("behind ear", "behind the ear", "postauricular", "behind-ear", "neck behind ear"),
    "femoral": ("femoral", "groin", "femoral artery", "femoral crease"),
    "chest-side": ("chest side", "side of chest", "chest-side", "lateral thoracic", "thoracic"),
}  # fmt: skip

AMBIGUOUS_WORDS: tuple[str, ...] = (
    "t", "temp", "temperature", "core", "skin", "probe", "o", "or", "r", "e", "a", "other", "na",
)  # fmt: skip

_SITE_OF_WORD = {word: site for site, words in SITE_WORDS.items() for word in words}


def site_from_word(word: str) -> str:
    """The site a charted word means, or ``unknown`` where it is missing or could mean two.

    >>> site_from_word("Temporal Artery"), site_from_word("(ax)"), site_from_word("T")
    ('temporal', 'axillary', 'unknown')
    """
    return _SITE_OF_WORD.get(plain_word(word), UNKNOWN)


def plain_word(word: str) -> str:
    """A charted word in small letters, without brackets, stops and doubled spaces.

    >>> plain_word("  Temp.  Art ")
    'temp art'
    """
    return re.sub(r"\s+", " ", re.sub(r"[^\w\s-]|_", " ", word.lower())).strip()


def site_from_loinc(code: str) -> str | None:
    """The site of a LOINC body-temperature code; None where the code is not a body temperature.

    >>> site_from_loinc("75539-7"), site_from_loinc("8867-4")
    ('temporal', None)
    """
    return LOINC_SITES.get(code)


def site_from_snomed(code: str) -> str | None:
    """The site of a SNOMED CT body-structure code; None where we do not know the code.

    >>> site_from_snomed("74262004")
    'oral'
    """
    return SNOMED_SITES.get(code)
