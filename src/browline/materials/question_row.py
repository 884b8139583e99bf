"""How a question is written down as a row."""

from typing import Any

TRADE = "common practice, no source"
NONE_FOUND = "No published figure was found."


def question_row(
    id: str,
    question: str,
    answer: str,
    *,
    apart: str,
    trade: str = "",
    published: str = NONE_FOUND,
    by: str = "",
    also: str = "",
) -> dict[str, Any]:
    """A row of the document. `by`: where the figure was published; `also`: words it should be found by."""
    return {
        "id": id,
        "question": question,
        "answer": answer,
        "trade": trade,
        "trade_source": TRADE if trade else "",
        "published": published,
        "published_source": by,
        "apart": apart,
        "also": also,
    }
