"""Questions a class asks, each answered in two sentences, with the rule of the trade beside the published figure."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from browline.controlled import Field, Layout
from browline.materials.questions_measuring import MEASURING
from browline.materials.questions_trusting import TRUSTING

LAYOUT = Layout(
    kind="class-questions",
    title="Questions a class asks",
    row="question",
    fields=(
        Field("id", "Name", needed=True, help="One short word; it names the question in the history."),
        Field("question", "Question", needed=True),
        Field(
            "answer",
            "Answer, in two sentences",
            "long",
            needed=True,
            help="Write {38.0} for a temperature and {d 0.5} for a difference: both units are then shown.",
        ),
        Field("trade", "Rule of the trade", "long"),
        Field("trade_source", "On whose word"),
        Field("published", "Published figure", "long"),
        Field("published_source", "Where it was published"),
        Field("apart", "Where they disagree", "long", needed=True),
        Field("also", "Other words to find it by"),
    ),
)


def default() -> dict[str, Any]:
    """The questions as they come with the program."""
    return {"head": {}, "rows": [dict(row) for row in (*MEASURING, *TRUSTING)]}


def matching(rows: Sequence[Mapping[str, Any]], words: str) -> list[Mapping[str, Any]]:
    """The questions in which every word is found, anywhere in them; all of them where no word is given.

    Those in which the words stand side by side come first, so that "C. diff" is not lost among what differs.

    >>> [row["id"] for row in matching(default()["rows"], "nine VOLT")]
    ['battery']
    >>> [row["id"] for row in matching(default()["rows"], "C. diff")][:2]
    ['clean', 'cover']
    """
    wanted = _plain(words).split()
    rows_with_all = [row for row in rows if all(word in _text(row) for word in wanted)]
    return sorted(rows_with_all, key=lambda row: f" {' '.join(wanted)}" not in _text(row))


def _text(row: Mapping[str, Any]) -> str:
    return " " + _plain(" ".join(str(value) for value in row.values()))


def _plain(text: str) -> str:
    """Small letters and digits, everything else as one blank."""
    return re.sub(r"\W+", " ", text.lower())
