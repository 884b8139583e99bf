"""The roster of this week and the four after it, written as a ward office hands it out and taken as a file."""

from datetime import datetime
from pathlib import Path

from browline.services.book.clock import local_day
from browline.services.demo.teaching import ACTOR
from browline.services.imports.run import import_file
from browline.store.folder import Book
from browline.store.models import Shift
from browline.synthetic import Hospital, csv_chunks, upcoming_roster
from browline.weeks import monday_of

WEEKS = 5


def coming_roster(book: Book, hospital: Hospital, export: Path, now: datetime, *, seed: int) -> None:
    """Take in the roster from Monday of this week on, unless one that reaches into today is there already."""
    today = local_day(now)
    if Shift.objects.filter(date__gte=today).exists():
        return
    monday = monday_of(today)
    house, path = hospital.house, export / "roster.csv"
    roster = upcoming_roster(house.people, house.wards, monday, weeks=WEEKS, seed=seed)
    with path.open("w", newline="", encoding="utf-8") as file:
        file.writelines(csv_chunks(roster))
    import_file(book, path, kind="roster", zone=hospital.zone, actor=ACTOR)
