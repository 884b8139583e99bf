"""What was learned from questioned readings as rows to draw and to print."""

from browline.documents.charts import CauseBar
from browline.instruments import Pareto
from browline.instruments.causes import FEWEST_OF_A_CAUSE
from browline.instruments.questioned import CAUSES, DEEDS
from browline.services.questioned.learning import Learned


def pareto_rows(causes: Pareto) -> list[CauseBar]:
    """The causes in words, those pooled named so."""
    pooled = f"others, fewer than {FEWEST_OF_A_CAUSE} lines each"
    return [
        CauseBar(
            name=CAUSES.get(bar.cause, pooled),
            n=bar.n,
            share=bar.share,
            low=bar.low,
            high=bar.high,
            cumulative=bar.cumulative,
        )
        for bar in causes.bars
    ]


def done_rows(found: Learned) -> list[tuple[str, int]]:
    """What was done, in words, and in how many lines."""
    return [(DEEDS[deed], n) for deed, n in found.done.items()]
