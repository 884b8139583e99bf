"""The rules as they come with the program: how long to wait, and what to heed."""

from browline.site_choice.flags import CONTACT, SCANNED
from browline.site_choice.written import (
    CRITICAL_CARE,
    ICU,
    NICE,
    NO_FIGURE,
    OWN,
    POOLED,
    SWEAT,
    TAUGHT,
    row,
)

WAIT_RULES = [
    row(
        "wait-came-in", "wait", "At least 10 minutes indoors, longer where the instrument's instructions say so.",
        priority=60, when=("came-in",), sites=SCANNED, source="published study of 150 children",
        published="Forehead and chest had evened out after 10 minutes in 150 children. Disagrees: advice that comes "
        "with instruments says 15 to 30 minutes; the trade names no time.",
        why="Skin that comes from the cold reads low, from the heat high.",
    ),
    row(
        "wait-drenched", "wait", "Drenched: dry the skin, and read again after about 10 minutes.", priority=55,
        when=("damp",), sites=SCANNED, published="No published time was found. " + SWEAT,
        why="Skin goes on cooling while it dries.",
    ),
    row(
        "wait-drink", "wait", "Mouth: 15 to 30 minutes without food, drink or smoking.", priority=50,
        when=("drink",), sites=("oral",), source="published studies of drinks",
        published="Back to the first value 15 minutes after a cold and 23 minutes after a hot drink; an older thesis "
        "says 30 minutes. The trade names no time.",
        why="The mouth stays warm or cool after a drink.",
    ),
    row(
        "wait-covered", "wait", "Uncover the skin and wait about 1 minute.", priority=45, when=("covered",),
        sites=SCANNED, published="No published time was found.", why="Covered skin reads high.",
    ),
    row(
        "wait-heat", "wait", "Take the heat out of the path, uncover, and wait about 1 minute.", priority=45,
        when=("heat-in-path",), sites=SCANNED,
        published="No published time was found; in hot surroundings estimates from skin were off by about {d 1}.",
        why="Such warmth reaches the instrument too, and makes the value too high.",
    ),
    row(
        "wait-repeat", "wait", "Before a repeat on the same skin: about 30 seconds.", priority=10, sites=SCANNED,
        published="No published time for the forehead after a brief touch was found.", why="The probe cools the skin.",
    ),
]  # fmt: skip

CAUTION_RULES = [
    row(
        "under-5-policy", "caution",
        "Under 5 years local policy decides which instrument and which site. A parent who says the child is hot is to "
        "be believed.",
        priority=96, when=("under-5",), source=NICE,
        published="NICE NG143: armpit, electronic, under 4 weeks; armpit (electronic, chemical dot) or infrared ear up "
        "to 5 years; chemical forehead strips are unreliable. It names no infrared artery scanner. The trade scans "
        "infants over about 5 cm of forehead, or touches over the artery.",
        why="The trade and published guidance differ for young children.",
    ),
    row(
        "rules-nothing-out", "caution", "A normal reading rules nothing out.", priority=90,
        source="Geijer 2016 and others", published=POOLED, why="About 28 of 100 fevers are missed at the forehead.",
    ),
    row(
        "decides-treatment", "caution", "A forehead scan alone does not settle this question.", priority=86,
        when=("fever-question",), source=CRITICAL_CARE, published=ICU,
        why="It misses most fevers of intensive-care patients.",
    ),
    row(
        "shut-down", "caution",
        "A skin reading may be too high in the cold patient and too low in the hot one; no fixed amount puts it right.",
        priority=85, when=("unstable",), source="Stelfox 2010", published=ICU,
        why="Less blood reaches the skin.",
    ),
    row(
        "reads-low-enough", "caution",
        "Feared too cold: take a thermometer that shows values under {34.0}. Ordinary ones may end there.",
        priority=84, when=("cold-or-shut-down",), source="ISO 80601-2-56 (not looked up again)",
        published="The ordinary range of a clinical thermometer is {34.0} to {42.0}. Hypothermia is called "
        "moderate under {32.0}, severe under {28.0}.",
        why="A thermometer that ends too high shows no number, or a wrong one.",
    ),
    row(
        "away-from-head", "caution",
        "Explain it, ask for consent, keep the patient covered, offer a chaperone. There is no published figure for "
        "this place.",
        priority=61, sites=("femoral", "chest-side"), source=OWN, why="It bares the body.",
    ),
    row(
        "if-instructions-name-it", "caution",
        "Only where the instructions of the instrument name this site. If they do not, use the fallback.",
        priority=60, sites=("femoral", "chest-side"), why="Few instructions name it.",
        published="No published figure was found for this site with an artery scanner.",
    ),
    row(
        "neck-alone", "caution",
        (
            "Behind the ear alone: only while the patient sweats and the mouth cannot be used. Never after injury, "
            "burn or surgery of head, face or neck."
        ),
        priority=60, sites=("behind-ear",), published=NO_FIGURE,
        source=TAUGHT + "; never after injury, burn or surgery: " + OWN,
        why="That skin is held to read steadily only while it sweats; a wound or burn nearby may change its flow.",
    ),
    row(
        "side-up", "caution", "Scan the side that was up, hair and hat aside.", priority=50, when=("covered",),
        sites=SCANNED, why="The pillow side reads high.", published="The direction is known, its size is not.",
    ),
    row(
        "ear-sore", "caution", "Not a sore, hurt, burnt or blocked ear: go on to the next.", priority=45,
        sites=("tympanic",), source="published studies of ear wax (secondary source)",
        published="Wax: {d 0.2} to {d 0.3} low.", why="It hurts, and wax hides what is read.",
    ),
    row(
        "isolation-next", "caution", "In isolation, mouth, rectum, ear and armpit always get a new probe cover.",
        priority=42, when=("isolation",), sites=CONTACT, source=OWN,
        published=NO_FIGURE,
        why="It holds for the next site too, should the first not do.",
    ),
    row(
        "rectal-lags", "caution",
        "In a fast change the rectum stays behind; one more reading there later shows the trend. Never a reason "
        "to wait: act and escalate now.",
        priority=40, sites=("rectal",),
        published="Gagnon 2010: after exercise in heat the rectum was about {d 0.8} behind the oesophagus. The trade "
        "says hours in adults; published time constants are tens of minutes (not looked up again).",
        why="It is far from the blood that changes first.",
    ),
    row(
        "armpit-low", "caution", "The armpit reads low.", priority=40, sites=("axillary",),
        published="Lawson 2007: {d 0.23} below the pulmonary artery on average; 27 of 100 off by more than {d 0.5}.",
        source="Lawson 2007 (60 adults)", why="It is skin, and rarely closed tightly.",
    ),
    row(
        "chart", "caution",
        "Chart the value as measured, with unit and site. Never add a degree. Keep to one site for a patient's trend.",
        priority=10, why="Sites differ, and a value without its site cannot be read later.",
        published="Agrees: no fixed amount fits. " + ICU,
    ),
]  # fmt: skip
