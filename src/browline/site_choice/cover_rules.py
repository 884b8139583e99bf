"""The rules as they come with the program: which cover, and how lens and case are cleaned, each for itself.

Lens and case have separate rules. Agents that kill spores may cause lens damage, so a rule for the lens names
an agent only through the instructions of that lens.
"""

from browline.site_choice.flags import CONTACT, SCANNED
from browline.site_choice.written import NO_FIGURE, OWN, TRADE, row

DEDICATED = "A dedicated instrument that stays with this patient, in a whole-instrument cover."
HANDLES = (
    "Agrees: spores were found on 20.8 of 100 rectal thermometer handles, and cases fell from 2.71 to 1.76 in 1,000 "
    "patient days with single-use thermometers (PubMed 1541811). A cover does not clean the handle."
)
SPREAD = (
    "Agrees: shared probes carried a resistant yeast (odds 6.8 times, 2.96 to 15.6; N Engl J Med 2018;379:1322), which "
    "ended only when they were taken away; an outbreak of resistant enterococci came from probe handles."
)
WIPES = (
    "Published warnings say that quaternary wipes crack some plastics; no figure was found for lenses. Cleanliness by "
    "a light test was met by 39 of 100 thermometers where policy asked for cleaning between patients "
    "(doi 10.1016/j.ajic.2010.10.030)."
)

COVER_RULES = [
    row(
        "spores-core", "cover", "None on the probe itself; cable and monitor are dedicated to this patient.",
        priority=95, when=("isolation",), sites=("core",), source=OWN, published=HANDLES,
        why="The probe stays in place; what is touched stays in the room.",
    ),
    row(
        "spores-cover", "cover", DEDICATED, priority=90, when=("spore-forming",), published=HANDLES,
        source="isolation practice; studies beside", why="Spores outlive wiping with alcohol and travel on handles.",
    ),
    row(
        "resistant-cover", "cover", DEDICATED, priority=80, when=("multi-resistant",), published=SPREAD,
        source="isolation practice; studies beside", why="Resistant organisms travel on shared instruments.",
    ),
    row(
        "isolation-cover", "cover", "A whole-instrument cover, fresh for this patient.",
        priority=60, when=("isolation",),
        published="No figure was found for whole-instrument covers; the handle still needs cleaning.",
        why="In isolation the whole instrument is covered, not only the probe.",
    ),
    row(
        "core-cover", "cover", "None: the probe stays in place.", priority=30, sites=("core",), source=OWN,
        why="It belongs to one patient already.",
    ),
    row(
        "probe-cover", "cover", "A new probe cover, for this reading alone.", priority=20,
        sites=CONTACT, published=SPREAD,
        why="The probe touches mouth, bowel, ear or armpit.",
    ),
    row(
        "scan-cover", "cover",
        "None: the probe is wiped between patients, with the agent that the instrument's instructions name.",
        priority=10, sites=SCANNED,
        published="Cost only: cover 4.7 to 7.6 p, wipe 0.8 p a reading (NICE costing, 2007). " + WIPES,
        why="It touches whole skin only.",
    ),
    row(
        "any-cover", "cover", "As the instructions of the instrument say.", priority=1, source=OWN,
        published=NO_FIGURE, why="No other rule speaks of this site.",
    ),
]  # fmt: skip

CLEANING_RULES = [
    row(
        "spores-lens", "cleaning-lens",
        "Lens: alcohol does not kill spores, so alcohol alone will not do. A sporicidal agent goes on the lens only if "
        "the instructions of the instrument allow it there; if not, the dedicated instrument stays with this patient, "
        "and infection prevention decides before it leaves.",
        priority=90, when=("spore-forming",), source=TRADE + "; the instrument's instructions decide",
        published="Disagrees with the trade, which wipes most instruments with alcohol. " + HANDLES,
        why="Such an agent can cause lens damage, and a damaged lens gives values that are too low.",
    ),
    row(
        "resistant-lens", "cleaning-lens",
        "Lens: an agent that works against this organism and that the instructions of the instrument allow on a lens. "
        "If there is none, the dedicated instrument stays with this patient, and infection prevention decides before "
        "it leaves.",
        priority=80, when=("multi-resistant",), source="isolation practice; the instrument's instructions decide",
        published=SPREAD, why="Not every agent works against every organism, nor may every agent touch a lens.",
    ),
    row(
        "lens", "cleaning-lens",
        "Lens: as the instructions of this instrument say, as often as they say, and only with what they name for it.",
        priority=10, published="No published size of the error from a dirty lens was found. " + WIPES, source=OWN,
        why="A dirty lens reads low, and what it does not bear causes lens damage. Makers differ.",
    ),
    row(
        "spores-case", "cleaning-case",
        "Case: a sporicidal agent that works against this organism, for its whole contact time; the dedicated "
        "instrument is cleaned again before it leaves the room. Keep it off the lens.",
        priority=90, when=("spore-forming",), source=TRADE + "; infection prevention names the agent",
        published=HANDLES, why="Alcohol and ordinary disinfectants leave spores alive.",
    ),
    row(
        "resistant-case", "cleaning-case",
        "Case: a disinfectant that works against this organism, named by infection prevention, for its whole contact "
        "time; the dedicated instrument is cleaned again before it leaves the room. Keep it off the lens.",
        priority=80, when=("multi-resistant",), source="isolation practice; infection prevention names the agent",
        published=SPREAD, why="Not every disinfectant works against every organism.",
    ),
    row(
        "isolation-case", "cleaning-case",
        "Case: before it leaves the room, the agent that infection prevention names for it, also where the "
        "whole-instrument cover was. Keep that agent off the lens.",
        priority=60, when=("isolation",), published="A cover does not clean the handle.", source=TRADE,
        why="Hands touch the case when a whole-instrument cover is put on and taken off.",
    ),
    row(
        "case", "cleaning-case",
        "Case: any disinfectant the hospital approves, for its whole contact time, between patients. Keep it off the "
        "lens.",
        priority=10, why="Handles are touched by every hand.",
        published="Of users asked, 20 of 100 said they clean after every use (doi 10.2147/RMHP.S289125). " + WIPES,
    ),
]  # fmt: skip
