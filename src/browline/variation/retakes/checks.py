"""What the quick pairs show against their own estimate: a closed list, each with a sentence, its test and advice."""

from dataclasses import dataclass
from enum import StrEnum
from math import erfc, isfinite, sqrt

from browline import display

ALARM = 0.01
DISAGREE_C = 0.05


class Sign(StrEnum):
    """What may be wrong with a comparison of sites from quick pairs."""

    DISAGREE = "model-and-pairs-differ"
    UNCHARTED = "first-readings-not-charted"
    UNSEEN = "retaken-for-an-unseen-reason"

    @property
    def advice(self) -> str:
        """What to do about it."""
        return _ADVICE[self]


class Answer(StrEnum):
    """What a check can answer."""

    SEEN = "seen"
    NOT_SEEN = "not-seen"
    CANNOT_TELL = "cannot-be-told"


@dataclass(frozen=True)
class Check:
    """One check of the pairs.

    - `amount_c`: the size of what was looked for, °C, None where it cannot be told. `statistic`: amount over its
      standard error, the largest where several were tried; `tried`: how many.
    - `chance`: how often readings without this trouble show a statistic this large, all that were tried counted.
      A sign is seen below `ALARM`, so about one sound comparison in a hundred is called unsound by each check;
      *differ* is seen at more than `DISAGREE_C` whatever its chance, because then the page shows two answers.
    - `n`: readings the check rests on.
    """

    sign: Sign
    answer: Answer
    n: int
    amount_c: float | None = None
    statistic: float | None = None
    tried: int = 1

    @property
    def chance(self) -> float | None:
        """The two-sided chance of the statistic, times how many were tried; at most 1."""
        if self.statistic is None:
            return None
        return min(1.0, self.tried * erfc(abs(self.statistic) / sqrt(2)))

    @property
    def sentence(self) -> str:
        """What the check found, in one sentence."""
        if self.answer is Answer.CANNOT_TELL:
            return _CANNOT[self.sign]
        if self.answer is Answer.NOT_SEEN:
            return _NOT_SEEN[self.sign]
        return _SEEN[self.sign].format(by=_by(self.amount_c or 0.0), chance=_odds(self.chance or 0.0))

    @property
    def advice(self) -> str:
        """What to do; nothing where the trouble is not seen."""
        return "" if self.answer is Answer.NOT_SEEN else self.sign.advice


def concluded(sign: Sign, n: int, trials: list[tuple[float, float]]) -> Check:
    """The check of this sign from (amount in °C, statistic) of everything tried; cannot be told where nothing was."""
    usable = [(amount, z) for amount, z in trials if isfinite(z)]
    if not usable:
        return Check(sign, Answer.CANNOT_TELL, n)
    amount, z = max(usable, key=lambda trial: abs(trial[1]))
    check = Check(sign=sign, answer=Answer.NOT_SEEN, n=n, amount_c=amount, statistic=z, tried=len(usable))
    significant = (check.chance or 0.0) < ALARM
    return (
        Check(sign=sign, answer=Answer.SEEN, n=n, amount_c=amount, statistic=z, tried=len(usable))
        if significant
        else check
    )


def differ(pairs_c: float | None, sd: float, model_c: float, n: int) -> Check:
    """Whether the model's offset and the pairs' are more than 0.05 °C apart; sd of the pairs' in °C."""
    if pairs_c is None:
        return Check(Sign.DISAGREE, Answer.CANNOT_TELL, n)
    amount = pairs_c - model_c
    answer = Answer.SEEN if abs(amount) > DISAGREE_C else Answer.NOT_SEEN
    return Check(sign=Sign.DISAGREE, answer=answer, n=n, amount_c=amount, statistic=amount / max(sd, 1e-9))


def _by(amount: float) -> str:
    return f"{display.decimal(abs(amount), 2)} °C {'lower' if amount < 0 else 'higher'}"


def _odds(chance: float) -> str:
    if chance < 1e-4:
        return "chance alone would do this less than once in 10,000 reviews"
    return (
        f"chance alone would do this about once in {display.number(round(1 / chance))} reviews"
        if chance < 0.5
        else ("chance alone does this often")
    )


_SEEN = {
    Sign.DISAGREE: "The pairs put this site {by} than the model does ({chance}).",
    Sign.UNCHARTED: (
        "Readings at this site with no other reading just before them are {by} than quick pairs say they should"
        " be ({chance}). Some may be second looks whose first reading was not charted."
    ),
    Sign.UNSEEN: (
        "Patients who were read a second time were later {by} than patients with the same first reading who were"
        " not ({chance}). Something that is not on the chart decided who was read again, and it also goes with"
        " temperature; how ill a patient looked would do that."
    ),
}
_NOT_SEEN = {
    Sign.DISAGREE: "The pairs and the model agree within 0.05 °C.",
    Sign.UNCHARTED: "No sign that first readings were left off the chart.",
    Sign.UNSEEN: "No sign that anything but the charted readings decided who was read again.",
}
_CANNOT = {
    Sign.DISAGREE: "Too few quick pairs to check the model against.",
    Sign.UNCHARTED: (
        "It cannot be told whether first readings were left off the chart: too few readings at this site stand alone."
    ),
    Sign.UNSEEN: (
        "It cannot be told what decided who was read again: too few of those patients have a later reading."
    ),
}
_ADVICE = {
    Sign.DISAGREE: (
        "Use the wider interval, and settle it with planned pairs: both sites within five minutes in every patient"
        " of a round, whatever the first reading says."
    ),
    Sign.UNCHARTED: (
        "Ask the ward to chart every reading taken, the surprising ones too. Until then read the table of how the"
        " answer moves. A ward that chooses this site for certain patients is another reason for the same picture."
    ),
    Sign.UNSEEN: (
        "Do not rest a decision on these pairs; plan pairs taken in every patient of a round. Treatment given after"
        " the second look is another reason for the same picture."
    ),
}
