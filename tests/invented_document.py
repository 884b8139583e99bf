"""A document of our own for tests: what to carry on a visit, one row a thing."""

from browline.controlled import Field, Layout

LAYOUT = Layout(
    kind="visit-bag",
    title="What to carry on a visit",
    row="thing",
    head=(Field("ward", "Ward"),),
    fields=(
        Field("thing", "Thing", needed=True),
        Field("why", "Why", "long"),
        Field("heavy", "Heavy", "tick"),
        Field("when", "When", "choice", choices={"day": "by day", "night": "at night"}),
        Field("for", "For whom", "many", choices={"nurses": "nurses", "students": "students"}),
        Field("count", "How many", "number"),
        Field("id", "Short name"),
    ),
)


def default():
    """Two things."""
    return {
        "head": {"ward": "Larch"},
        "rows": [
            {"thing": "Spare scanner", "id": "spare", "when": "day", "for": ["nurses"], "count": 2},
            {"thing": "Swabs", "id": "swabs", "heavy": False},
        ],
    }
