"""Agreement of assessors and repeated tries in a nurse's words, as data for the pages.

Kind words about people: an offer at most, never a mark.
"""

from browline import display
from browline.competency.double_scored import AssessorLeaning, Leaning
from browline.competency.interrater import ONE_SIDED, Agreement, Coefficient, Outcome
from browline.competency.learning import Curve, Design, Limit, shortest
from browline.competency.learning import Outcome as Learning

FAR_APART = 0.2


def agreement_sentences(a: Agreement) -> tuple[str, ...]:
    """The agreement of assessors, plainly: the share, what it means, and every warning."""
    if a.raw is None:
        return (a.outcome.sentence,)
    agreed = sum(a.table[i][i] for i in range(len(a.table)))
    sentences = [
        f"Two assessors agreed on {agreed} of {a.n} demonstrations scored twice.",
        a.outcome.sentence,
    ]
    if a.few and a.outcome is not Outcome.TOO_FEW:
        sentences.append(f"{a.n} pairs are few, so the ranges are wide: thirty or more tell better.")
    return tuple(sentences)


def coefficient_sentences(a: Agreement) -> tuple[str, ...]:
    """Why the two coefficients lie far apart: said only where a lopsided margin, of enough pairs, is the cause."""
    if a.kappa.value is None or a.ac1.value is None or a.ac1.value - a.kappa.value < FAR_APART:
        return ()
    if a.few or a.one_sided < ONE_SIDED:
        return ()
    return (
        f"Kappa is far below AC1 because {display.percent(a.one_sided)} of the judgements are the same one: kappa then "
        "counts most of the agreement as chance. It says little about the assessors here.",
    )


def coefficient_words(c: Coefficient) -> str:
    """A coefficient with its interval, or that it cannot be worked out.

    >>> coefficient_words(Coefficient(0.4, 0.13, 0.15, 0.64))
    '0.40 (0.15 to 0.64)'
    """
    if c.value is None or c.low is None or c.high is None:
        return "cannot be worked out"
    return f"{_two(c.value)} ({_two(c.low)} to {_two(c.high)})"


def _two(value: float) -> str:
    text = display.decimal(value, 2)
    return "0.00" if text == "-0.00" else text.replace("-", "−")


def leaning_sentence(row: AssessorLeaning) -> str:
    """What an assessor's outcomes beside colleagues' say: an offer at most, always with the numbers."""
    counted = f"{row.pairs} scored with a colleague, {row.differed} judged differently"
    if row.leaning is Leaning.TOO_FEW:
        return f"Too few to tell: {counted}."
    if row.leaning is Leaning.NO_PATTERN:
        return f"No pattern: {counted}."
    how = "signed off" if row.leaning is Leaning.SIGNS_MORE else "said not yet"
    times = row.signed_off if row.leaning is Leaning.SIGNS_MORE else row.differed - row.signed_off
    return f"Offer a calibration together: {counted}, and in {times} of those this one {how} and the colleague did not."


def learning_sentences(curve: Curve, design: Design, threshold: Limit) -> tuple[str, ...]:
    """What repeated attempts show, and what the limit promises."""
    if threshold.h is None:
        return (f"{design.attempts} tries cannot show it, whatever comes of them. Intend more.",)
    sentences = _how_it_went(curve, design)
    if curve.outcome is Learning.TOO_FEW:
        sentences.append(f"At the least {shortest(design, threshold.h)} in a row are needed.")
    missed, not_adequate = 100 * design.p0, 100 * (design.p0 + design.d)
    sentences.append(
        f"Of learners who miss something in {display.decimal(not_adequate, 0)} % of tries,"
        f" {display.in_a_hundred(threshold.false)} would get so far within {design.attempts};"
        f" of those who do in {display.decimal(missed, 0)} %, {display.in_a_hundred(threshold.power)} would."
    )
    return tuple(sentences)


def _how_it_went(curve: Curve, design: Design) -> list[str]:
    ending = f"hown at try {curve.shown_at}." if curve.outcome is Learning.SHOWN else ""
    if not curve.later:
        return [*(["S" + ending] if ending else []), curve.outcome.sentence]
    behind = f"The {design.attempts} tries intended are behind:"
    if ending:
        return [f"{behind} s{ending}", curve.outcome.sentence]
    return [
        f"{behind} not shown within them. Practise what was missed, and go by the checklist from here on."
    ]
