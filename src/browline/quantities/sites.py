"""Where on the body a temperature was taken: one row a site, with its codes and every word for it.

Codes: LOINC and SNOMED CT as published in the HL7 FHIR R4 vital-signs profiles and the US vitals
implementation guide (STU1). The words are common practice, no source. A word that could mean two sites
("T": temporal or tympanic) is `unknown`: the reading is kept and the word counted, never guessed.
Numbers of a site belong to a method and lie in its room; a test holds them against these rows.
"""

import re

from browline.quantities.site import MeasuringSite, Way

UNKNOWN = "unknown"
TEMPORAL = "temporal"

ROWS: tuple[MeasuringSite, ...] = (
    MeasuringSite(
        code=TEMPORAL, name="forehead", loinc=("75539-7",), snomed=("52795006",), snomed_methods=("448735006",),
        charted=(
            "temporal", "temporal artery", "temporal scan", "temporal scanner", "ta", "tat", "tas", "forehead",
            "forehead scan", "forehead scanner", "artery scan", "temp art", "temporalis", "brow",
        ),
        ready="straight from mid-forehead to the hairline, probe flat, by the instrument’s instructions",
        way=Way(TEMPORAL, 10, "forehead scan on the exposed side", "forehead", touch="scan", stored="forehead"),
    ),
    MeasuringSite(
        code="oral", name="mouth", loinc=("8331-1",), snomed=("74262004",), snomed_methods=("89003005",),
        charted=("oral", "po", "mouth", "sublingual", "by mouth", "oral cavity", "per os"),
        own_technique=True,
        ready="no drink before it, probe under the tongue, mouth closed",
        way=Way("oral", 60, "oral, with an oral thermometer", "mouth", touch="contact"),
    ),
    MeasuringSite(
        code="rectal", name="rectum", loinc=("8332-9",), snomed=("34402009",), snomed_observables=("307047009",),
        charted=("rectal", "rectum", "pr", "rect", "per rectum"),
        ready="by local policy, and explained to the patient",
        way=Way("rectal", 70, "rectal, with a rectal thermometer", "rectum", touch="contact"),
    ),
    MeasuringSite(
        code="axillary", name="armpit", loinc=("8328-7",), snomed=("422543003",),
        charted=("axillary", "axilla", "ax", "axil", "axillar", "armpit", "underarm", "under arm"),
        own_technique=True,
        ready="arm closed over it until it is done; it reads low, so it settles least",
        way=Way("axillary", 90, "armpit, with an electronic thermometer", "armpit", touch="contact"),
    ),
    MeasuringSite(
        code="tympanic", name="ear", loinc=("8333-7", "76011-6"), snomed=("117590005", "42859004"),
        snomed_observables=("415974002",), snomed_methods=("700643004", "448349000"),
        charted=("tympanic", "tymp", "ear", "tm", "aural", "tympanic membrane", "ear canal", "auricular"),
        ready="clean ear that was not lain on",
        way=Way("tympanic", 80, "ear, with an ear thermometer", "ear", touch="contact"),
    ),
    MeasuringSite(
        code="bladder", name="bladder probe", core=True, loinc=("8334-5",),
        charted=("bladder", "foley", "urinary", "urinary bladder", "catheter bladder", "vesical"),
    ),
    MeasuringSite(
        code="oesophageal", name="oesophageal probe", core=True, loinc=("60836-4",),
        snomed_observables=("431598003",),
        charted=("oesophageal", "esophageal", "oesophagus", "esophagus", "eso", "oes", "esoph"),
    ),
    MeasuringSite(
        code="nasopharyngeal", name="nasopharyngeal probe", core=True, loinc=("60838-0",), snomed=("71836000",),
        charted=("nasopharyngeal", "nasopharynx", "np"),
    ),
    MeasuringSite(
        code="intravascular", name="probe in the blood", core=True, loinc=("8330-3", "60834-9"),
        snomed_observables=("1222808002",), charted=("intravascular", "blood", "pa catheter", "pulmonary artery"),
    ),
    MeasuringSite(
        code="behind-ear", name="place behind the earlobe",
        charted=("behind ear", "behind the ear", "postauricular", "behind-ear", "neck behind ear"),
        way=Way("behind-ear", 30, "touch behind the earlobe", "earlobe alone", touch="scan"),
    ),
    MeasuringSite(
        code="femoral", name="groin", loinc=("104063-3",),
        charted=("femoral", "groin", "femoral artery", "femoral crease"),
        way=Way("femoral", 40, "scan along the groin crease", "groin", touch="scan"),
    ),
    MeasuringSite(
        code="chest-side", name="side of the chest",
        charted=("chest side", "side of chest", "chest-side", "lateral thoracic", "thoracic"),
        way=Way("chest-side", 50, "scan down the side of the chest", "side of the chest", touch="scan"),
    ),
)  # fmt: skip

# Ways that are no site of a reading: a probe already in place, two sites in one scan, and nobody's rule.
OTHER_WAYS: tuple[Way, ...] = (
    Way("core", 0, "the core probe that is in place", "core probe"),
    Way(
        "temporal-then-ear", 20, "forehead scan, ended with a touch behind the earlobe", "forehead, then earlobe",
        touch="scan", stored="forehead-then-ear",
    ),
    Way(
        "local-policy", 100, "none by these rules: the person in charge decides by local policy", "local policy"
    ),
)  # fmt: skip

CATALOGUE: dict[str, MeasuringSite] = {row.code: row for row in ROWS}
SITES: tuple[str, ...] = (*CATALOGUE, UNKNOWN)
CORE_SITES: tuple[str, ...] = tuple(row.code for row in ROWS if row.core)
NOT_TOLD_APART: tuple[str, ...] = tuple(row.code for row in ROWS if row.own_technique)
SITE_NAMES: dict[str, str] = {row.code: row.name for row in ROWS}
SITE_WORDS: dict[str, tuple[str, ...]] = {row.code: row.charted for row in ROWS}
WAYS: tuple[Way, ...] = tuple(
    sorted((*OTHER_WAYS, *(row.way for row in ROWS if row.way)), key=lambda way: way.rank)
)

BODY_TEMPERATURE_LOINC = "8310-5"
LOINC_SITES: dict[str, str] = {code: row.code for row in ROWS for code in row.loinc} | {
    BODY_TEMPERATURE_LOINC: UNKNOWN,
    "8329-5": UNKNOWN,
}
SNOMED_SITES: dict[str, str] = {code: row.code for row in ROWS for code in row.snomed}

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
