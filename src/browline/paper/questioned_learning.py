"""What questioned readings taught, on one side: causes in order, instruments to check, and what is refused."""

from datetime import datetime
from pathlib import Path

from browline import display
from browline.figures import pareto_chart
from browline.instruments.recurring_text import (
    BASIS_SAID,
    CANNOT_SAY,
    REFUSAL,
    REFUSAL_SOURCE,
    headline,
    overall_sentence,
    rule,
)
from browline.paper.hand_out import hand_out
from browline.paper.pdf import write_typeset
from browline.services.book.preferences import choice
from browline.services.questioned.learning import RECUR_WEEKS, Learned
from browline.services.questioned.rows import done_rows, pareto_rows

TITLE = "What we learned from questioned readings"
MOST_ASKS = 6


def write_questioned_learning(
    learned: Learned, path: Path | str, *, hospital: str, paper: str, created: datetime
) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    laid_out = learning_laid_out(learned, hospital=hospital, paper=paper, created=created)
    return write_typeset("questioned_learning.typ", laid_out, created, Path(path))


def learning_laid_out(learned: Learned, *, hospital: str, paper: str, created: datetime) -> dict[str, object]:
    """The sheet as nested dicts of texts, its chart as SVG."""
    levels = choice("false_share"), choice("tolerance_c")
    asks = [
        {"name": a.instrument, "why": f"{a.what} {a.causes}".strip(), "do": a.action} for a in learned.asks
    ]
    return {
        **hand_out(TITLE, _period(learned), hospital=hospital, paper=paper, created=created),
        "headline": headline(learned.causes),
        "chart": _chart(learned),
        "together": overall_sentence(learned.instruments),
        "asks": asks[:MOST_ASKS],
        "more": _more(len(asks) - MOST_ASKS),
        "rule": f"{rule(RECUR_WEEKS, *levels)} {BASIS_SAID[learned.instruments.basis]}",
        "refused": f"{learned.bias.value[:1].upper()}{learned.bias.value[1:]}.",
        "refusal": REFUSAL,
        "source": REFUSAL_SOURCE,
        "done": [f"{label} {n}" for label, n in done_rows(learned)],
        "cannot_say": list(CANNOT_SAY),
    }


def _period(learned: Learned) -> str:
    taken = f"; {learned.taken_back} taken back and not counted" if learned.taken_back else ""
    lines = f"{display.number(learned.lines)} line{'' if learned.lines == 1 else 's'} of the log"
    return (
        f"{lines}, {display.day(learned.first)} to {display.day(learned.last)}{taken}. The whole "
        "hospital, no ward apart."
    )


def _chart(learned: Learned) -> dict[str, str]:
    if not learned.causes.bars:
        return {"svg": "", "alt": ""}
    drawn = pareto_chart(
        pareto_rows(learned.causes), learned.causes.total, headline(learned.causes), width=520
    )
    return {"svg": drawn.svg, "alt": drawn.sentence}


def _more(remaining: int) -> str:
    return f"{remaining} more stand on the page." if remaining > 0 else ""
