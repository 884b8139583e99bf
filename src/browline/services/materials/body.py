"""What a controlled document says, as its room has checked it: one head, and its rows."""

from collections.abc import Mapping, Sequence
from typing import NotRequired, TypedDict

Value = str | bool | float | list[str] | tuple[str, ...] | None
Row = Mapping[str, Value]


class Body(TypedDict):
    """The fields that stand once, and the rows in their order."""

    head: NotRequired[Row]
    rows: Sequence[Row]
