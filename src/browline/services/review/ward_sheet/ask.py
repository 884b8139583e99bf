"""One ask of a ward: the most useful of what was seen, put to the ward itself.

Useful first: whether values were measured, then what hides a fever or misleads at the bedside, then site and time.
Tests that compare a ward with others are left for a talk; a sheet speaks of the ward alone.
"""

from dataclasses import dataclass

from browline.audit import Outcome
from browline.findings import AUDITED
from browline.services.review.wards import Answer, Fall, Ward

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


def choose_ask(ward: Ward, fall: Fall | None = None) -> Ask:
    """The ask; to keep on charting the site where nothing was seen. `fall`: of the share followed, if it fell."""
    helped = [a for a in _candidates(ward) if AUDITED[a.test].help]
    first = min(helped, key=lambda a: AUDITED[a.test].help_place, default=None)
    if first is not None:
        return _ask(first, fall if fall is not None and fall.test == first.test else None)
    return Ask(
        test="",
        question=KEEP_ON,
        help="",
        why=NOTHING if ward.that(Outcome.NOT_SEEN) else TOO_FEW,
        reasons=(),
    )


def _candidates(ward: Ward) -> list[Answer]:
    """What was seen, but for a value heaped just under the fever line where the line itself is the matter."""
    edge, spike = ward.answer("edge"), ward.answer("value-spike")
    if edge is None or spike is None or not (edge.seen and spike.seen and _just_under(spike.at, edge.at)):
        return list(ward.seen)
    return [a for a in ward.seen if a is not spike]


def _just_under(value: str, line: str) -> bool:
    """Whether a value lies less than 0.25 °C below a line, both as "37.9 °C"."""
    (under, unit), (over, line_unit) = (text.split(" °") for text in (value, line))
    return unit == line_unit and 0 < float(over) - float(under) < NEAR_C * (1.8 if unit == "F" else 1.0)


def _ask(answer: Answer, fall: Fall | None) -> Ask:
    question, why = (answer.ask, _why(answer)) if fall is None else (fall.question, answer.without_step)
    reasons = answer.causes[:MOST_REASONS]
    return Ask(
        test=answer.test,
        question=question,
        help=AUDITED[answer.test].help,
        why=why,
        reasons=reasons,
        fallen=fall is not None,
    )


def _why(answer: Answer) -> str:
    """What was seen; of a comparison with other wards only the ward's own part."""
    if AUDITED[answer.test].compared:
        return answer.sentence.split(", where")[0] + "."
    return answer.sentence
