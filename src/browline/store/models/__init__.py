"""The nouns of a book, each with one home."""

from browline.store.models.account import Event, Job, Setting
from browline.store.models.imports import Import, SavedMapping, UndoneRepair, WardAlias
from browline.store.models.register import Attendance, Check, Cleaning, DatedEvent, Instrument, Person
from browline.store.models.reviews import Finding, Outcome, Review, last_whole_review

__all__ = [
    "Attendance",
    "Check",
    "Cleaning",
    "DatedEvent",
    "Event",
    "Finding",
    "Import",
    "Instrument",
    "Job",
    "Outcome",
    "Person",
    "Review",
    "SavedMapping",
    "Setting",
    "UndoneRepair",
    "WardAlias",
    "last_whole_review",
]
