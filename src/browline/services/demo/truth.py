"""The truth file of the invented hospital, as far as it is read back: what was planted, and where."""

from typing import Required, TypedDict


class FaultTruth(TypedDict):
    """A fault planted on an instrument; `against_c`: against the middle of its kind, None where it has none."""

    instrument: str
    kind: str
    against_c: float | None
    first_day: str
    n: int


class HabitTruth(TypedDict, total=False):
    """A habit planted on a ward, and how much of it."""

    ward: Required[str]
    share: float
    share_of_rounds: float
    share_of_shifts: float
    value_c: float
    until: str


class Truth(TypedDict):
    """What was planted: faults of instruments, habits of wards by name, and the rows of some kinds."""

    instruments: list[FaultTruth]
    wards: dict[str, HabitTruth]
    rows_of: dict[str, list[int]]
