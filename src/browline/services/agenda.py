"""What the day asks for in teaching and with instruments: each thing with its reason, who does it and by when."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Max
from django.utils import timezone

from browline import display
from browline.competency.status import Stands
from browline.instruments import Kind, Task, describe_task, list_tasks
from browline.services.imports.doubtful_dates import WHY, doubtful_dates
from browline.services.instruments.status import standing
from browline.services.materials import documents
from browline.services.questioned.learning import asks
from browline.services.training import coverage
from browline.services.training.demonstrations.pending import waiting
from browline.services.training.demonstrations.recheck import clashes
from browline.services.training.sessions.matching import unmatched
from browline.store.folder import Book
from browline.store.models import Demonstration, Session, Shift

YOU, WITH_WARD = "you", "you, with the ward"
ROSTER_AHEAD, DOCUMENT_AHEAD = timedelta(days=7), timedelta(days=30)


@dataclass(frozen=True)
class Item:
    """One thing to do: `what`, `why`, `who` and by which day; `page` (with its `arguments`) is where it is done."""

    what: str
    why: str
    who: str
    by: date
    page: str
    arguments: tuple[int | str, ...] = ()


def agenda(book: Book, now: datetime) -> tuple[Item, ...]:
    """Everything for today, most pressing first; `now` in the hospital's zone."""
    parts = (
        _dates(book, now),
        _waiting(now),
        _sessions(now),
        _tonight(now),
        _due(now),
        _unmatched(now),
        _roster(now),
    )
    kit = (_instruments(book, now), _questioned(book, now))
    return tuple(item for part in (*parts, *kit, _documents(now)) for item in part)


def _dates(book: Book, now: datetime) -> Iterator[Item]:
    for source in doubtful_dates(book):
        task = f"Look at the dates of the receipt {source.label.removesuffix(' the file')}."
        yield Item(what=task, why=WHY, who=YOU, by=now.date(), page="receipt", arguments=(source.pk,))


def count(number: int, singular: str, many: str) -> str:
    """A number with its word.

    >>> count(1, "record waits", "records wait")
    '1 record waits'
    """
    return f"{display.number(number)} {singular if number == 1 else many}"


def _waiting(now: datetime) -> Iterator[Item]:
    if open_clashes := clashes():
        task = (
            count(len(open_clashes), "late record raises", "late records raise")
            + " a question: which one stands?"
        )
        why = "A record that came in late and one that was here do not go together by the rule of tries."
        yield Item(what=task, why=why, who=YOU, by=now.date(), page="demonstrations-waiting")

    if records := waiting():
        task = (
            count(len(records), "record from a phone waits", "records from phones wait")
            + " for your decision."
        )
        yield Item(
            what=task,
            why="They could not be kept as they came; nothing is lost.",
            who=YOU,
            by=now.date(),
            page="demonstrations-waiting",
        )


def _sessions(now: datetime) -> Iterator[Item]:
    planned = Session.objects.planned()
    for session in planned.filter(time__lt=now - timedelta(hours=3)):
        task = f"Close the session {_where(session)}."
        why = "It is over and not marked as held or cancelled. A sheet signed on paper can still be keyed in."
        yield Item(what=task, why=why, who=YOU, by=now.date(), page="session", arguments=(session.pk,))
    for session in planned.filter(time__gte=now - timedelta(hours=3), time__lt=now + timedelta(days=1)):
        task = f"Hold the session {_where(session)}."
        why = "It is planned within a day: print its sheet, take the instruments along."
        yield Item(
            what=task, why=why, who=YOU, by=_day(session.time), page="session", arguments=(session.pk,)
        )


def _where(session: Session) -> str:
    time = timezone.localtime(session.time)
    when = f"{display.short_day(time)} {display.time_of_day(time)}"
    return f"on {session.ward}, {when}" if session.ward else f"of {when}"


def _day(moment: datetime) -> date:
    return timezone.localtime(moment).date()


def _tonight(now: datetime) -> Iterator[Item]:
    night = coverage.coming_night(now)
    night_cover = coverage.tonight(night)
    without = len(night_cover.people) - night_cover.signed_off
    if without:
        on_duty = f"Of {count(len(night_cover.people), 'person', 'people')} on duty tonight"
        task = f"{on_duty}, {display.number(without)} {'is' if without == 1 else 'are'} not signed off."
        yield Item(
            what=task,
            why="Wards with most left to see stand first.",
            who=YOU,
            by=night.date(),
            page="who-can-do-it",
        )


def _due(now: datetime) -> Iterator[Item]:
    stands = Counter(person.standing.stands for person in coverage.due(now.date()))
    if ended := stands[Stands.OVERDUE]:
        task = count(ended, "sign-off has ended", "sign-offs have ended") + "."
        yield Item(
            what=task,
            why="Offer an observation, those at most risk first.",
            who=YOU,
            by=now.date(),
            page="who-is-due",
        )
    if not_yet := stands[Stands.NOT_YET]:
        task = count(not_yet, "person is", "people are") + " at “not yet” and should be seen again."
        yield Item(
            what=task,
            why="What was left to practise stands in the record.",
            who=YOU,
            by=now.date(),
            page="who-is-due",
        )


def _unmatched(now: datetime) -> Iterator[Item]:
    if unknown := unmatched():
        task = count(len(unknown), "name is", "names are") + " on no staff list."
        why = "Somebody signed in under it; match it to a person, or put it on the list."
        yield Item(what=task, why=why, who=YOU, by=now.date(), page="unmatched")


def _roster(now: datetime) -> Iterator[Item]:
    last = Shift.objects.aggregate(last=Max("date"))["last"]
    if last is not None and last < now.date() + ROSTER_AHEAD:
        word = "ended" if last < now.date() else "ends"
        task = f"The roster {word} on {display.day(last)}: bring in the next."
        yield Item(
            what=task, why="Without it nobody knows who is on tonight.", who=YOU, by=last, page="roster"
        )


def _instruments(book: Book, now: datetime) -> Iterator[Item]:
    by_kind: dict[Kind, list[Task]] = {}
    for task in list_tasks(standing(book, now)):
        if task.kind is Kind.OUT_OF_LIMITS:
            words = describe_task(task)
            why = f"{words.action} {' '.join(words.reasons)}"
            yield Item(what=f"{words.title}.", why=why, who=WITH_WARD, by=now.date(), page="instruments")
            continue
        by_kind.setdefault(task.kind, []).append(task)
    for kind, several in by_kind.items():
        n = count(len(several), "instrument", "instruments")
        first = describe_task(several[0])
        why = f"First {first.title}. {first.action}"
        yield Item(what=f"{n}: {kind.value}.", why=why, who=WITH_WARD, by=now.date(), page="instruments")


def _questioned(book: Book, now: datetime) -> Iterator[Item]:
    for ask in asks(book, now):
        action = f"{ask.action[:1].lower()}{ask.action[1:]}"
        task = f"{ask.instrument} recurs in questioned readings: {action}"
        yield Item(
            what=task,
            why=f"{ask.what} {ask.causes}",
            who=WITH_WARD,
            by=now.date(),
            page="questioned-learning",
        )


def _documents(now: datetime) -> Iterator[Item]:
    if not (Session.objects.exists() or Demonstration.objects.exists()):
        return
    kinds = [(documents.layout(kind).title, documents.latest(kind)) for kind in documents.MODULES]
    soon = now.date() + DOCUMENT_AHEAD
    for title, document in kinds:
        if document.read_again:
            task = f"Read again and have approved: {title}."
            why = (
                "It was approved before changed lines were shown beside the old ones. On paper it says DRAFT."
            )
            yield Item(what=task, why=why, who=YOU, by=soon, page="document", arguments=(document.kind,))
    if drafts := [title for title, document in kinds if document.draft and not document.read_again]:
        task = (
            count(len(drafts), "document is a draft", "documents are drafts")
            + ": have approved what is handed out."
        )
        yield Item(
            what=task, why=f"On paper they say DRAFT: {'; '.join(drafts)}.", who=YOU, by=soon, page="handouts"
        )
    for title, document in kinds:
        if not document.draft and document.expires is not None and document.expires < soon:
            task = f"Renew by {display.day(document.expires)}: {title}."
            why = "What hangs on a wall must be current."
            yield Item(
                what=task, why=why, who=YOU, by=document.expires, page="document", arguments=(document.kind,)
            )
