"""What the audit answered of one ward, test by test, with small numbers withheld."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from browline.audit import TESTS, Outcome, stepped
from browline.display import FEWEST
from browline.documents.audit import SignalRow
from browline.findings import AUDITED

FEWEST_COUNTED = 5


@dataclass(frozen=True)
class Answer:
    """One test of one ward: how it ended, in words.

    - `text`: the answer in a few words. `sentence`: what was seen, empty unless something was.
    - `causes`: what may explain it, innocent ones first; `ask`: the question to the ward; `action`: what to do.
    - `effect`, `low`, `high`: the share with its 95 % interval, None where withheld. `n`: what it is a share of.
    - `turned`: first day of the week in which the share took a step; `since`: the same, where it rose; `step`: what
      the sentence ends with then.
    """

    test: str
    title: str
    outcome: Outcome
    text: str
    sentence: str
    causes: tuple[str, ...]
    ask: str
    action: str
    at: str
    n: int
    effect: float | None
    low: float | None
    high: float | None
    since: date | None
    turned: date | None
    step: str

    @property
    def seen(self) -> bool:
        """Whether there is something to ask the ward about."""
        return self.outcome is Outcome.SEEN

    @property
    def whether(self) -> str:
        """What was looked for, as an open question."""
        return AUDITED[self.test].whether

    @property
    def without_step(self) -> str:
        """What was seen, without since when the share has risen or fallen."""
        return self.sentence.removesuffix(self.step)

    @property
    def named(self) -> str:
        """The title, with the value it is about."""
        titled = AUDITED[self.test].titled
        return titled.format(at=self.at) if titled and self.seen else self.title


def read_answers(signals: Iterable[SignalRow], ward: str) -> tuple[Answer, ...]:
    """The answers, in the order of the tests. `signals`: as the review's audit keeps them."""
    order = list(TESTS)
    known = [s for s in signals if s.test in TESTS]
    return tuple(_answer(s, ward) for s in sorted(known, key=lambda s: order.index(s.test)))


def _answer(s: SignalRow, ward: str) -> Answer:
    outcome = Outcome(s.outcome)
    few = outcome is not Outcome.NOT_ASKED and s.n < FEWEST
    outcome = Outcome.TOO_FEW if few else outcome
    hidden = few or _small_count(s)
    kind, positive = AUDITED[s.test], outcome is Outcome.SEEN
    turned = _day(s.turned)
    return Answer(
        test=s.test,
        title=kind.title,
        outcome=outcome,
        text=_text(s, few, hidden and positive),
        sentence=_sentence(s, ward, hidden) if positive else "",
        causes=s.causes or tuple(c.cause for c in kind.causes),
        ask=kind.ask,
        action=kind.action,
        at=s.at,
        n=s.n,
        effect=None if hidden else s.effect,
        low=None if hidden else s.low,
        high=None if hidden else s.high,
        since=_day(s.since),
        turned=turned,
        step=stepped(turned, s.before, s.after),
    )


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _small_count(s: SignalRow) -> bool:
    """Whether the share stands for so few readings that they might be told apart."""
    if not AUDITED[s.test].small_counts or s.effect is None:
        return False
    return 0 < round(s.effect * s.n) < FEWEST_COUNTED


def _text(s: SignalRow, few: bool, small: bool) -> str:
    if few:
        return f"Too few to tell: fewer than {FEWEST} to look at."
    return f"Seen, in fewer than {FEWEST_COUNTED}." if small else s.answer


def _sentence(s: SignalRow, ward: str, hidden: bool) -> str:
    """What was seen, without the ward's name before it: page and sheet bear it already."""
    if hidden:
        return f"{TESTS[s.test].capitalize()}: fewer than {FEWEST_COUNTED}, numbers withheld."
    sentence = s.sentence.removeprefix(f"{ward}: ")
    return sentence[:1].upper() + sentence[1:]
