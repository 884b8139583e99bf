"""One ask of a ward: the most useful of what was seen, put to the ward itself.

Useful first: whether values were measured, then what hides a fever or misleads at the bedside, then site and time.
Tests that compare a ward with others are left for a talk; a sheet speaks of the ward alone.
"""

from dataclasses import dataclass

from browline.audit import Outcome
from browline.services.review.wards import Answer, Fall, Ward

HELPS: dict[str, str] = {
    "value-spike": "Please show us how a temperature gets into the form, and tell us each time an instrument is not at "
    "hand: we bring a spare. Where a patient cannot be read, “not taken” with the reason is a full answer.",
    "copied-values": "Please tell us whether the form carries the last value forward. Where a patient cannot be read, "
    "“not taken” with the reason is a full answer.",
    "round-batch": "Please show us one round: where numbers are noted, and whether there is an instrument for each "
    "round. We bring a spare if not.",
    "edge": "Please chart both readings when one is taken again at the fever line, the first one too. A higher value "
    "is acted on until it is settled.",
    "instrument-unit": "Please look at the displays and tell us which instrument shows the other unit: we bring a "
    "spare while it is set right.",
    "implausible": "Please tell us whether the form asks back when a value is out of range.",
    "repeat-too-soon": "Please wait about half a minute before a repeat, or as the instrument’s instructions say: the "
    "first scan cools the skin.",
    "site-missing": "Please chart the site with every temperature, and tell us if the form does not ask for it.",
    "site-unsuited": "Please compare with the local policy for children under 5; it decides.",
    "site-switching": "Please keep to one site for a patient’s trend; change it for a reason, and chart the reason.",
    "entry-delay": "Please tell us what stands between the bedside and the keyboard: nobody can act on a value that is "
    "not yet keyed.",
    "pace": "Please tell us how a round is keyed. If that is done afterwards, key the time of the reading.",
    "on-the-hour": "Please chart the minute of the reading where the form lets you, and tell us if it offers only the "
    "hour.",
    "words": "Thank you for charting reasons. Please tell us which ones a choice list should hold.",
}
KEEP_ON = "Please keep charting the site with every temperature."
NOTHING = "Nothing was seen in this ward’s charting that asks for more."
TOO_FEW = "So far there are too few readings to tell more."
MOST_REASONS, NEAR_C = 4, 0.25


@dataclass(frozen=True)
class Ask:
    """`question` and `help` for the ward; `why`: what was seen; `reasons`: the ordinary ones, to begin with.

    `fallen`: whether the question is about a share that has since fallen.
    """

    test: str
    question: str
    help: str
    why: str
    reasons: tuple[str, ...]
    fallen: bool = False


def ask_of(ward: Ward, fall: Fall | None = None) -> Ask:
    """The ask; to keep on charting the site where nothing was seen. `fall`: of the share followed, if it fell."""
    first = next((a for test in HELPS for a in _asked(ward) if a.test == test), None)
    if first is not None:
        return _ask(first, fall if fall is not None and fall.test == first.test else None)
    return Ask(
        test="",
        question=KEEP_ON,
        help="",
        why=NOTHING if ward.that(Outcome.NOT_SEEN) else TOO_FEW,
        reasons=(),
    )


def _asked(ward: Ward) -> list[Answer]:
    """What was seen, but for a value heaped just under the fever line where the line itself is the matter."""
    edge = next((a for a in ward.seen if a.test == "edge"), None)
    return [a for a in ward.seen if not (a.test == "value-spike" and edge and _just_under(a.at, edge.at))]


def _just_under(value: str, line: str) -> bool:
    """Whether a value lies less than 0.25 °C below a line, both as "37.9 °C"."""
    (under, unit), (over, other) = (text.split(" °") for text in (value, line))
    return unit == other and 0 < float(over) - float(under) < NEAR_C * (1.8 if unit == "F" else 1.0)


def _ask(answer: Answer, fall: Fall | None) -> Ask:
    question, why = (answer.ask, _why(answer)) if fall is None else (fall.question, answer.without_step)
    reasons = answer.causes[:MOST_REASONS]
    return Ask(
        test=answer.test,
        question=question,
        help=HELPS[answer.test],
        why=why,
        reasons=reasons,
        fallen=fall is not None,
    )


def _why(answer: Answer) -> str:
    """What was seen; of a comparison with other wards only the ward's own part."""
    if answer.test == "site-switching":
        return answer.sentence.split(", where")[0] + "."
    return answer.sentence
