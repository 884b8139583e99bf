"""Common errors with the forehead scan: why each matters, how much where that is known, and words to say.

Used on a teach-back sheet: show it, say it, hear it back. Kind words; nobody is marked.
"""

from typing import Any

from browline.controlled import Field, Layout

DIRECTIONS: dict[str, str] = {
    "low": "reads low",
    "high": "reads high",
    "either": "either way",
    "none": "does not change the reading",
}
LAYOUT = Layout(
    kind="common-errors",
    title="Common errors and words to say",
    row="error",
    fields=(
        Field("id", "Name", needed=True, help="One short word; it names the error in the history."),
        Field("error", "What is seen", needed=True),
        Field("direction", "What it does", "choice", needed=True, choices=DIRECTIONS),
        Field("why", "Why it matters", "long", needed=True),
        Field("size", "Published size", "long", help="With its source; or that none was found."),
        Field("words", "Words to say", "long", needed=True),
        Field("source", "On whose word", needed=True),
    ),
)
TRADE = "common practice, no source"
UNKNOWN = "Direction known, size not established."


def default() -> dict[str, Any]:
    """The errors as they come with the program: trade practice, each with what is published about its size."""
    return {"head": {}, "rows": [_row(*row) for row in ERRORS]}


def _row(id: str, error: str, direction: str, why: str, size: str, words: str, source: str = TRADE) -> Any:
    return {
        "id": id, "error": error, "direction": direction, "why": why, "size": size, "words": words, "source": source,
    }  # fmt: skip


ERRORS: tuple[tuple[str, ...], ...] = (
    (
        "path", "Moves the probe downwards, off the level line", "low",
        "Away from the forehead the artery lies too deep to be read, so the value is too low.", UNKNOWN,
        "“Show me that once more: level, from the middle of the forehead to the hair. Where do you end?”",
    ),
    (
        "early", "Lets go of the button, or lifts off, before the hairline", "low",
        "The highest value may lie in the part not scanned.", UNKNOWN,
        (
            "“Nearly there: the button came up before the scan had ended. Wait half a minute, then hold it down "
            "until you reach the hair.”"
        ),
    ),
    (
        "damp", "Scans a damp forehead and leaves it at that", "low",
        "Wet skin loses warmth and reads low. The instrument’s instructions say what to do instead.",
        "Low 2007, 16 people heated 30 min: gut {d 0.39} up, temporal {d 0.22} down.",
        (
            "“The skin is damp: dry it, let it settle, and see in the instrument’s instructions whether to touch "
            "behind the ear. Damp and ill: read by mouth at once and escalate, without waiting for the skin.”"
        ),
    ),
    (
        "covered", "Scans the pillow side, or under hair, hat or blanket", "high",
        "Covered skin cannot give its heat away.", UNKNOWN,
        "“Which side was up? Uncover, count a minute, then scan that side.”",
    ),
    (
        "heat", "Leaves something warm, not the patient, in view of the instrument", "high",
        "The instrument reads heat that is not the patient’s.",
        "Hot surroundings: estimates from skin off by about {d 1} (Sensors 2022;22:826).",
        "“What else here is warm? Take it out of the path and wait a minute.”",
    ),
    (
        "cold", "Scans somebody who has just come in", "low",
        "Cold skin reads low, hot skin high, until it has evened out.",
        "150 children: even after 10 min indoors. Advice with instruments: 15 to 30 min.",
        "“How long has the patient been inside? What would you chart until then?”",
    ),
    (
        "repeat", "Repeats at once", "low", "The probe has cooled the skin.", UNKNOWN,
        "“Count slowly to thirty. What do you check meanwhile?” (lens, sweat, side, cover)",
    ),
    (
        "lens", "Does not look at the lens", "low",
        "Dirt on the lens makes the value too low. Agents that the instructions do not name "
        "cause lens damage.",
        "No published size was found.",
        (
            "“Hold it to the light: is the lens clear? If not, clean it as its own instructions say, then check it "
            "before the next scan.”"
        ),
    ),
    (
        "clean", "Puts it back without wiping", "none",
        "Handles carry what hands carry.",
        "Of 300 handles 8 in 100 carried pathogens (doi 10.1016/j.ajic.2017.12.005).",
        "“Case with the ward’s wipe, lens with its own. Who has it next?”",
    ),
    (
        "site", "Charts no site", "none",
        "Sites differ, so the value cannot be read by the next person.",
        "Mean rectal {37.04}, oral {36.57}, armpit {35.97} (Geneva review 2019, midpoints).",
        "“Value, unit, site. What would the night nurse make of this line?”",
    ),
    (
        "add", "Adds a degree", "high",
        "The gap between sites changes with the fever; no fixed amount puts it right.",
        "Intensive care, temporal minus bladder: {d 0.66} when cold, {d -0.90} in fever (Stelfox 2010).",
        "“Chart what it showed, and where. What tells the reader which site it was?”",
    ),
    (
        "not-taken", "Charts a usual value when it could not be taken", "none",
        "A value that is unlikely to have been measured hides the patient who is getting worse.",
        "Exactly {36.0} in excess: 11.3 of every 100 readings (Jackson 2023, 4.4 million records).",
        "“‘Not taken’ with the reason is a full answer. Is a thermometer missing? I bring one.”",
    ),
    (
        "trusts", "Lets a normal reading settle it in a patient who looks ill", "none",
        "A forehead scan misses fevers; what is seen is evidence too.",
        "Geijer 2016: 72 of 100 fevers found (61 to 81).",
        "“You look worried. What would you do if there were no thermometer?” (escalate)",
    ),
)  # fmt: skip
