"""Who should be at a session: on duty on its ward at that moment by the roster, those never reached first."""

from dataclasses import dataclass
from typing import TypedDict

from django.db.models import Exists, OuterRef

from browline.services.book.clock import local_day
from browline.shifts import KINDS
from browline.store.models import Absence, Attendance, Person, Session, Shift, SignIn


@dataclass(frozen=True)
class OnDuty:
    """One person the roster has on the ward: the kind of shift, whether reached before, whether here now."""

    person: Person
    kind: str
    reached: bool
    here: bool

    @property
    def shift(self) -> str:
        """The kind of shift in words."""
        return KINDS[self.kind]


def expected(session: Session) -> list[OnDuty]:
    """Everybody on duty when the session starts, on its ward (any, where it names none), one line a person."""
    today = local_day(session.time)
    away = Absence.objects.on(today).filter(person=OuterRef("person"))
    on = Shift.objects.on_duty().filter(start__lte=session.time, end__gt=session.time)
    on = on.exclude(Exists(away))
    on = on.filter(ward=session.ward) if session.ward else on
    present = set(SignIn.objects.not_struck().filter(session=session).values_list("person_id", flat=True))
    before = Attendance.objects.exclude(time=session.time).filter(person__shifts__in=on)
    reached = set(before.values_list("person_id", flat=True))
    lines = {
        s.person_id: OnDuty(s.person, s.kind, s.person_id in reached, s.person_id in present)
        for s in on.select_related("person")
    }
    return sorted(lines.values(), key=lambda line: (line.reached, line.person.shown.casefold()))


class Present(TypedDict):
    """Somebody signed in: the ways in which they were, and those that were struck."""

    person: Person
    ways: list[SignIn]
    struck: list[SignIn]


def signed_in(session: Session) -> list[Present]:
    """Everybody signed in, in the order they came, with the ways in which they were."""
    lines: dict[int, Present] = {}
    for sign_in in SignIn.objects.filter(session=session).select_related("person"):
        line = lines.setdefault(sign_in.person_id, {"person": sign_in.person, "ways": [], "struck": []})
        line["struck" if sign_in.struck else "ways"].append(sign_in)
    return list(lines.values())
