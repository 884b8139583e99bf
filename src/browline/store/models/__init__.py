"""The nouns of a book, each with one home.

Rows that are only ever added stand in the order in which they were written (`id`), never in that of their clocks: what
was entered while a clock was a year ahead would hide all that came later. A moment that somebody stated (when a
round was walked, a person observed) is another thing, and orders what it tells of.
"""

from browline.store.models.account import Event, Job, Pass, Setting, WrongCode
from browline.store.models.documents import ControlledDocument
from browline.store.models.imports import Import, SavedMapping, UndoneRepair, WardAlias
from browline.store.models.locked import RecordIsLocked
from browline.store.models.questioned import QuestionedReading, QuestionedTakenBack
from browline.store.models.register import Attendance, Check, Cleaning, DatedEvent, Instrument, Person
from browline.store.models.reviews import Finding, Outcome, Review, last_whole_review
from browline.store.models.rosters import Absence, Shift, ShiftCode
from browline.store.models.rounds import Sighting
from browline.store.models.sessions import Session, SessionPlan, SignIn
from browline.store.models.teaching import AssessorStanding, Champion, Demonstration, SecondScore

__all__ = [
    "Absence",
    "AssessorStanding",
    "Attendance",
    "Champion",
    "Check",
    "Cleaning",
    "ControlledDocument",
    "DatedEvent",
    "Demonstration",
    "Event",
    "Finding",
    "Import",
    "Instrument",
    "Job",
    "Outcome",
    "Pass",
    "Person",
    "QuestionedReading",
    "QuestionedTakenBack",
    "RecordIsLocked",
    "Review",
    "SavedMapping",
    "SecondScore",
    "Session",
    "SessionPlan",
    "Setting",
    "Shift",
    "ShiftCode",
    "Sighting",
    "SignIn",
    "UndoneRepair",
    "WardAlias",
    "WrongCode",
    "last_whole_review",
]
