"""Events: what changed on the wards, and when."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import TIME, WARD

EVENTS = ImportKind(
    id="events",
    title="events: what changed, and when",
    answers="Which known events fall where the chart over time changes.",
    signs=Signs(rank=5, headings=("what",)),
    identity=("time", "what", "ward"),
    columns=(
        Column("time", "time", True, "when it happened", headings=TIME),
        Column(
            "what", "word", True, "what happened (form changed, instruments delivered, ...)",
            headings="""
                what, event, description, what happened, change, event name, event description, details,
                activity, happening, milestone
            """,
        ),
        Column("ward", "word", False, "where, if not everywhere", headings=WARD),
    ),
)  # fmt: skip
