"""For each test: what may explain it, innocent causes first, and the one thing to do. The ward's words, no blame."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Advice:
    """`causes` in the order to ask about them; `action`, the next step; `ask`, the question put to the ward."""

    causes: tuple[str, ...]
    action: str
    ask: str


ADVICE: dict[str, Advice] = {
    "value-spike": Advice(
        (
            "the form offers this value by default or carries the last one forward",
            "no instrument at hand: too few for the beds, missing, or without power",
            "workload: numbers charted from memory after the round",
            "rounding to a whole or half degree",
        ),
        "Ask the ward how a temperature gets into the form and whether an instrument is at hand on every round, "
        "bring a spare if not, and look at a drawn sample of charts together.",
        "How does a temperature get into the form, and was an instrument at hand?",
    ),
    "copied-values": Advice(
        (
            "the form shows or carries forward the last value",
            "no instrument at hand",
            "patient asleep, in isolation or off the ward",
            "workload",
        ),
        "Ask whether the form carries values forward, and what the ward does when a patient cannot be read: "
        '"not taken" with the reason is a full answer.',
        "What is charted when a patient cannot be read just now?",
    ),
    "round-batch": Advice(
        (
            "the round is keyed from a paper list afterwards",
            "the form copies a row to the next",
            "one instrument for many beds",
            "workload",
        ),
        "Look at one round with the ward: where are numbers noted between bedside and chart, and is there an "
        "instrument for each round? Bring a spare if not.",
        "Where are numbers noted between the bedside and the chart?",
    ),
    "edge": Advice(
        (
            "a value just over the line is taken again and the lower one charted",
            "an alert at the line that is felt as a burden",
            "a prompt in the form at this value",
        ),
        "Ask what happens on the ward when the line is met, and say at the next session: chart both readings, the "
        "first one too; a higher value is acted on until settled.",
        "What happens here when a reading meets the fever line?",
    ),
    "fever-missing": Advice(
        (
            "other patients than on wards of its kind",
            "an instrument that reads low, or technique that does",
            "febrile patients are moved elsewhere",
            "readings taken when fever is rarest",
        ),
        "Take ten side-by-side readings with a second instrument on the ward, and look at its instruments' figures.",
        "Would you expect fewer fevers here than elsewhere?",
    ),
    "narrow-spread": Advice(
        (
            "very similar patients",
            "numbers charted from memory",
            "rounding",
            "a form that limits the values",
        ),
        "Look at a drawn sample of charts with the ward.",
        "What could make readings here so much alike?",
    ),
    "on-the-hour": Advice(
        ("the form has one column an hour", "the system files at the planned time", "times keyed afterwards"),
        "Ask whether the form can keep the minute of the reading; until then pace and quick repeats cannot be judged.",
        "Does the form offer the minute, or only the hour?",
    ),
    "pace": Advice(
        (
            "a shared log-in",
            "a round keyed together afterwards",
            "a monitor or gateway that files many patients at once",
        ),
        "Ask how a round is keyed; if it is keyed afterwards, agree to key the time of the reading.",
        "How is a round keyed?",
    ),
    "site-missing": Advice(
        ("the form does not ask for the site", "a short word that could mean two sites", "workload"),
        "Look at the charting form with the ward: make the site a choice, and say at hand-over which words are used.",
        "Does the form ask for the site?",
    ),
    "site-unsuited": Advice(
        (
            "ordered by a clinician for this child",
            "local policy differs",
            "age or site mis-keyed",
            "the form's first choice left standing",
        ),
        "Compare with the local policy for children under 5; it decides.",
        "What does the local policy say for this age?",
    ),
    "site-switching": Advice(
        (
            "a doubted reading confirmed elsewhere",
            "the usual site out of reach (dressing, damp, surgery)",
            "the nearest instrument decides",
            "the form's first choice left standing",
        ),
        "Say at the next session: keep to one site for a patient's trend, change it for a reason and chart the reason.",
        "What decides the site from one reading to the next?",
    ),
    "repeat-too-soon": Advice(
        ("a retake of a doubted value", "two readings charted together", "re-sent rows with new times"),
        "Remind at the next session: wait about half a minute before a repeat, the first scan cools the skin.",
        "How long do you wait before a repeat?",
    ),
    "entry-delay": Advice(
        ("no computer at the bedside", "workload", "the system was down", "paper first by local policy"),
        "Ask what stands between the bedside and the keyboard; nobody can act on a value not yet keyed.",
        "What stands between reading and keying?",
    ),
    "words": Advice(
        (
            "the form takes any text",
            "a reading that was not possible, honestly said",
            "the instrument's LO or HI",
        ),
        "Thank the ward for charting reasons, and ask for a choice list so that they can be counted.",
        "Would a choice list of reasons help?",
    ),
    "implausible": Advice(
        (
            "typing slip",
            "a lost decimal point",
            "another measurement in the temperature field",
            "the instrument's LO or HI",
        ),
        "Ask for a prompt in the form when a value is out of range, and look at a few of the rows with the ward.",
        "Does the form ask back when a value is out of range?",
    ),
    "instrument-unit": Advice(
        (
            "set to the other unit",
            "used on a ward that charts in the other unit",
            "swapped with another instrument",
        ),
        "Look at its display; if it shows the other unit, bring a spare while it is set right.",
        "Which unit does its display show?",
    ),
    "unit-pattern": Advice(
        ("the register is out of date", "set to the other unit", "swapped with another instrument"),
        "Look at its display and put the register or the setting right; bring a spare while it is seen to.",
        "Which unit does its display show?",
    ),
}
