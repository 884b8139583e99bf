"""The rules as they come with the program: which site, which not, and what instead."""

from browline.site_choice.written import (
    CRITICAL_CARE,
    ICU,
    NICE,
    NO_FIGURE,
    OWN,
    POOLED,
    SWEAT,
    TRADE,
    row,
)

CORE_BEFORE_SKIN = (
    "Agrees: the guideline prefers a thermistor in the pulmonary artery, oesophagus or bladder, then mouth or rectum, "
    "to armpit, ear and temporal artery. " + ICU
)
UNDER_5 = (
    "NICE NG143: under 4 weeks armpit, electronic; 4 weeks to 5 years armpit (electronic or chemical dot) or infrared "
    "ear; mouth and rectum not routinely. It names no infrared artery scanner. Disagrees with the trade, where in "
    "infants a scan of about 5 cm or a touch over the artery is held to be enough, and the neck trusted in the first "
    "months."
)
TOUCH = (
    "Sources disagree on the touch: at the end of every scan, or only with sweat or head injury. Blake 2019 tried "
    "artery scans with and without it against oral: neither was off by more than {d 0.3} on average. "
)
OTHER_SKIN = (
    "No published figure was found for this site with an artery scanner. Disagrees in kind: guidance for intensive "
    "care goes to mouth or rectum, not to another place on the skin."
)

SITE_RULES = [
    row(
        "core-probe", "site", "Read the core probe that is in place.", priority=100,
        when=("core-probe",), sites=("core",), source=CRITICAL_CARE, published=CORE_BEFORE_SKIN,
        why="It lies nearer to the temperature in question than any site outside.",
    ),
    row(
        "young-child", "site",
        "Armpit, with an electronic thermometer, unless local policy names another site: under 5 years local policy "
        "decides.",
        priority=90, when=("under-5",), sites=("axillary",), source=NICE, published=UNDER_5,
        why="It is the one site that published guidance names for every age under 5.",
    ),
    row(
        "shut-down-rectal", "site", "Rectal, explained to the patient and by local policy.", priority=83,
        when=("cold-or-shut-down",), sites=("rectal",), source=CRITICAL_CARE, published=CORE_BEFORE_SKIN,
        why="The skin is shut down, and in the cold the mouth is cooled by breathing.",
    ),
    row(
        "neutropenia-oral", "site", "Oral.", priority=82, when=("neutropenia",), sites=("oral",),
        source="neutropenic fever definitions (secondary source)",
        published="Fever in neutropenia is defined by mouth: {38.3} once, or {38.0} for an hour. In a cancer centre "
        "artery scans by three expert users were not within {d 0.1} of the comparison.",
        why="The line that is acted upon is defined for this site.",
    ),
    row(
        "decides-treatment-oral", "site", "Oral.", priority=81, when=("fever-question",), sites=("oral",),
        source=CRITICAL_CARE, published=CORE_BEFORE_SKIN,
        why="Where the number decides treatment, a site that misses fewer fevers is asked.",
    ),
    row(
        "unstable-oral", "site", "Oral.", priority=80, when=("unstable",), sites=("oral",),
        source=CRITICAL_CARE, published=CORE_BEFORE_SKIN,
        why="When the skin is shut down or too cold, the forehead follows the core least.",
    ),
    row(
        "decides-treatment-rectal", "site", "Rectal, explained to the patient and by local policy.", priority=76,
        when=("fever-question",), sites=("rectal",), source=CRITICAL_CARE, published=CORE_BEFORE_SKIN,
        why="The mouth cannot be used, and the number decides treatment.",
    ),
    row(
        "unstable-rectal", "site", "Rectal, explained to the patient and by local policy.", priority=75,
        when=("unstable",), sites=("rectal",), source=CRITICAL_CARE, published=CORE_BEFORE_SKIN,
        why="The mouth cannot be used, and the skin follows the core least.",
    ),
    row(
        "shut-down-ear", "site", "Ear, with an ear thermometer.", priority=74, when=("cold-or-shut-down",),
        sites=("tympanic",), source=OWN, published="Lawson 2007: 49 of 100 were off by more than {d 0.5}.",
        why="Mouth and rectum cannot be used; the skin follows the core least of all.",
    ),
    row(
        "ill-and-damp-oral", "site", "Oral, without waiting for the skin to dry.", priority=62,
        when=("looks-ill", "damp"), sites=("oral",), source=OWN, published=SWEAT,
        why="The number is wanted now, and the wet forehead reads low.",
    ),
    row(
        "damp", "site", "Wipe the forehead dry, scan it, and end with a touch behind the earlobe.", priority=60,
        when=("damp",), sites=("temporal-then-ear",), published=TOUCH + SWEAT,
        why="A wet forehead reads too low, so the place below the ear is read as well.",
    ),
    row(
        "damp-ear-alone", "site",
        "Behind the ear alone, only while the patient sweats and the mouth cannot be used.",
        priority=55, when=("damp",),
        sites=("behind-ear",), published=NO_FIGURE,
        why="The forehead cannot be wiped and scanned. Never after injury, burn or surgery of head, face or neck.",
    ),
    row(
        "hurt-rectal", "site", "Rectal, explained to the patient and by local policy.", priority=56,
        when=("forehead-injury",), sites=("rectal",), source=OWN, published=CORE_BEFORE_SKIN,
        why="The mouth cannot be used, and no skin of head or neck is read after injury, burn or surgery.",
    ),
    row(
        "hurt-armpit", "site", "Armpit, with an electronic thermometer; it reads low.", priority=54,
        when=("forehead-injury",), sites=("axillary",), source=OWN,
        published="Lawson 2007: 27 of 100 were off by more than {d 0.5}.",
        why="Mouth and rectum cannot be used, and the groin has no published figure.",
    ),
    row(
        "forehead", "site", "Scan straight from mid-forehead to the hairline, probe flat, on the exposed side.",
        priority=30, sites=("temporal",), published=POOLED,
        why="The artery lies close under the skin there, on bone.",
    ),
    row(
        "groin", "site", "Groin: bare skin, along its fold, over the femoral artery.", priority=20,
        sites=("femoral",), published=OTHER_SKIN, why="The forehead and the neck cannot be used.",
    ),
    row(
        "chest", "site", "Side of the chest: a band 10 cm wide. How to move: see the instrument's instructions.",
        priority=15, sites=("chest-side",), published=OTHER_SKIN,
        why="Forehead, neck and groin cannot be used.",
    ),
    row(
        "last", "site", "Armpit, with an electronic thermometer.", priority=1, sites=("axillary",),
        published="Reads low: Geneva review 2019, {35.01} to {36.93} where mouth is {35.73} to {37.41}.",
        why="No other site is left.",
    ),
]  # fmt: skip

RULED_OUT = [
    row(
        "young-child-not", "ruled-out", "Mouth and rectum are not used routinely under 5 years.", priority=50,
        when=("under-5",), sites=("oral", "rectal"), source=NICE,
        published="NICE NG143 1.1.1. Disagrees: in the United States a rectal reading is usual under 3 years.",
        why="Published guidance for children under 5.",
    ),
    row(
        "newborn-not", "ruled-out", "The ear is not used under 4 weeks.", priority=50, when=("under-4-weeks",),
        sites=("tympanic",), source=NICE, published="NICE NG143 1.1.2 names the armpit alone.",
        why="Published guidance for the newborn.",
    ),
    row(
        "reason-not-rectal", "ruled-out", "Not rectal: there is a reason against it.", priority=55,
        when=("no-rectal",), sites=("rectal",), published=NO_FIGURE, why="Bleeding, injury or spread.",
    ),
    row(
        "mouth-not", "ruled-out", "Not oral: the probe cannot be kept in the closed mouth.", priority=55,
        when=("no-oral",), sites=("oral",), published=NO_FIGURE, why="Air cools the probe, or it is bitten.",
    ),
    row(
        "damp-not", "ruled-out", "Not the forehead alone: it is damp.", priority=45, when=("damp",),
        sites=("temporal",), published="Agrees: " + SWEAT, why="A drying skin is cooler and reads low.",
    ),
    row(
        "injury-not", "ruled-out", "Not the forehead: injury, burn or surgery.", priority=45, when=("forehead-injury",),
        sites=("temporal", "temporal-then-ear"), source=OWN,
        why="It hurts, it may carry infection, and the flow under the skin is changed.",
    ),
    row(
        "bandaged-not", "ruled-out", "Not the forehead: it is covered and cannot be uncovered.", priority=45,
        when=("bandaged",), sites=("temporal", "temporal-then-ear"), source=TRADE,
        why="Nothing is read through a bandage, and covered skin reads high.",
    ),
    row(
        "head-not", "ruled-out", "Nowhere at the head: it cannot be reached.", priority=45,
        when=("head-out-of-reach",), source=OWN, why="It cannot be reached.",
        sites=("temporal", "temporal-then-ear", "behind-ear", "tympanic", "oral"),
    ),
]  # fmt: skip

FALLBACKS = [
    row(
        "young-child-armpit", "fallback", "Armpit, with an electronic thermometer.", priority=70, when=("under-5",),
        sites=("axillary",), source=NICE, published=UNDER_5, why="Published guidance for children under 5.",
    ),
    row(
        "young-child-ear", "fallback", "Ear, with an infrared ear thermometer, by local policy.", priority=60,
        when=("under-5",), sites=("tympanic",), source=NICE, published=UNDER_5,
        why="Published guidance from 4 weeks to 5 years.",
    ),
    row(
        "then-oral", "fallback", "Oral, with an oral thermometer.", priority=50, sites=("oral",),
        source="order of routes, common practice; " + CRITICAL_CARE, published=(
            "Lawson 2007 (60 adults): oral within {d 0.5} of the pulmonary artery in 81 of 100. Disagrees: Bijur 2016 "
            "(987 adults), oral found 37 of 100 fevers of {38.0} by rectum."
        ),
        why="An adult who can keep the probe in the mouth is most easily read there.",
    ),
    row(
        "then-rectal", "fallback", "Rectal, explained to the patient and by local policy.", priority=40,
        sites=("rectal",), source="order of routes, common practice; " + CRITICAL_CARE,
        published="Geneva review 2019: {36.32} to {37.76}, the warmest of the usual sites.",
        why="Neither the first site nor the mouth can be used.",
    ),
    row(
        "then-ear", "fallback", "Ear, with an ear thermometer.", priority=30, sites=("tympanic",),
        published="Pecoraro 2021: the ear finds 77 of 100 rectal fevers, the temporal scan 76.",
        why="Mouth and rectum cannot be used.",
    ),
    row(
        "then-armpit", "fallback", "Armpit, with an electronic thermometer; it reads low.", priority=20,
        sites=("axillary",), published="Lawson 2007: 27 of 100 were off by more than {d 0.5}.",
        why="Nothing nearer to the core can be used.",
    ),
    row(
        "then-ask", "fallback", "Ask the person in charge: local policy decides.", priority=1,
        sites=("local-policy",), source=OWN, why="These rules name no further site.",
    ),
]  # fmt: skip
