"""What was observed of one person, before it is a record."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


@dataclass(frozen=True)
class Observation:
    """What was observed once, before it is a record. Persons and the checklist's version by their numbers.

    `time` is an aware moment; `steps` holds a mark by a step's id; `key` was made where it was recorded.
    """

    key: UUID
    person: int
    assessor: int
    checklist: int
    time: datetime
    steps: Mapping[str, str]
    method: str
    second: int | None = None
    ward: str = ""
    instrument: str = ""
    taught: str = ""
