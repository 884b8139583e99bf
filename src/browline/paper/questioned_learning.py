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
    found: Learned, path: Path | str, *, hospital: str, paper: str, made: datetime
) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    laid_out = learning_laid_out(found, hospital=hospital, paper=paper, made=made)
    return write_typeset("questioned_learning.typ", laid_out, made, Path(path))


def learning_laid_out(found: Learned, *, hospital: str, paper: str, made: datetime) -> dict[str, object]:
    """The sheet as nested dicts of texts, its chart as SVG."""
    levels = choice("false_share"), choice("tolerance_c")
    asks = [{"name": a.instrument, "why": f"{a.what} {a.causes}".strip(), "do": a.action} for a in found.asks]
    return {
        **hand_out(TITLE, _period(found), hospital=hospital, paper=paper, made=made),
        "headline": headline(found.causes),
        "chart": _chart(found),
        "together": overall_sentence(found.instruments),
        "asks": asks[:MOST_ASKS],
        "more": _more(len(asks) - MOST_ASKS),
        "rule": f"{rule(RECUR_WEEKS, *levels)} {BASIS_SAID[found.instruments.basis]}",
        "refused": f"{found.bias.value[:1].upper()}{found.bias.value[1:]}.",
        "refusal": REFUSAL,
        "source": REFUSAL_SOURCE,
        "done": [f"{what} {n}" for what, n in done_rows(found)],
        "cannot_say": list(CANNOT_SAY),
    }


def _period(found: Learned) -> str:
    taken = f"; {found.taken_back} taken back and not counted" if found.taken_back else ""
    lines = f"{display.number(found.lines)} line{'' if found.lines == 1 else 's'} of the log"
    return (
        f"{lines}, {display.day(found.first)} to {display.day(found.last)}{taken}. The whole "
        "hospital, no ward apart."
    )


def _chart(found: Learned) -> dict[str, str]:
    if not found.causes.bars:
        return {"svg": "", "alt": ""}
    drawn = pareto_chart(pareto_rows(found.causes), found.causes.total, headline(found.causes), width=520)
    return {"svg": drawn.svg, "alt": drawn.sentence}


def _more(left: int) -> str:
    return f"{left} more stand on the page." if left > 0 else ""
