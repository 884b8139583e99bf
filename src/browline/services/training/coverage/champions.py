"""Champions: who helps on a ward between visits, and on which wards and kinds of shift nobody does."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from browline.competency.judging import SIGNED_OFF
from browline.competency.status import Standing
from browline.errors import InputRefused
from browline.services.book.clock import local_day
from browline.services.training import coverage
from browline.services.training.coverage import statuses
from browline.shifts import ON_DUTY
from browline.store.event_log import recorded
from browline.store.models import Champion, Demonstration, Person, Shift


@dataclass(frozen=True)
class Helping:
    """A champion: turns of duty by kind of shift in these four weeks, and the last day they observed somebody.

    `seen_again` colleagues whom they were the first to sign off were later observed by somebody else, and `held` of
    those were signed off again: where few are, what is handed on has thinned out.
    """

    number: int
    person: Person
    ward: str
    start: date
    standing: Standing
    kinds: Counter[str]
    last: date | None
    seen_again: int = 0
    held: int = 0


@dataclass(frozen=True)
class Gap:
    """A ward and kind of shift that people work, without a champion signed off there."""

    ward: str
    kind: str
    people: int


def champions(today: date) -> tuple[Helping, ...]:
    """Those who are champions today, by ward and name."""
    first, last = coverage.four_weeks(today)
    found = list(Champion.objects.on(today).select_related("person"))
    stand = statuses.standings(today, [c.person_id for c in found])
    kinds, later = _kinds(first, last), _seen_again()
    return tuple(
        Helping(
            number=c.pk,
            person=c.person,
            ward=c.ward,
            start=c.start,
            standing=stand[c.person_id],
            kinds=Counter({k: n for (p, ward, k), n in kinds.items() if p == c.person_id and ward == c.ward}),
            last=_last_active(c.person_id),
            seen_again=len(later.get(c.person_id, ())),
            held=sum(later.get(c.person_id, ())),
        )
        for c in sorted(found, key=lambda c: (c.ward, c.person.shown))
    )


def gaps(today: date) -> tuple[Gap, ...]:
    """Wards and kinds of shift worked in these four weeks where no champion who is signed off works, by ward."""
    first, last = coverage.four_weeks(today)
    worked: dict[tuple[str, str], set[int]] = {}
    for person, ward, kind in _kinds(first, last):
        worked.setdefault((ward, kind), set()).add(person)
    covered = {(c.ward, kind) for c in champions(today) if c.standing.current for kind in c.kinds}
    order = {kind: i for i, kind in enumerate(ON_DUTY)}
    open_ones = sorted((key for key in worked if key not in covered), key=lambda key: (key[0], order[key[1]]))
    return tuple(Gap(ward, kind, len(worked[ward, kind])) for ward, kind in open_ones)


def appoint(person: int, ward: str, *, start: date, actor: str) -> Champion:
    """Enter that a person is a champion on a ward from `start` on; refused where they are one there already."""
    with recorded(actor, "champion", person, {"ward": ward}):
        # Locked, so that two entries of the same champion cannot both go in.
        who = Person.objects.select_for_update().get(pk=person)
        if Champion.objects.lasting(start).filter(person=who, ward=ward).exists():
            raise InputRefused(
                f"{who.shown} is a champion on {ward} already.",
                "A champion of a ward is entered once.",
                "Look at the list of champions.",
            )
        return Champion.objects.create(person=who, ward=ward, start=start)


def release(number: int, last_day: date, *, actor: str) -> None:
    """Enter that somebody stops being a champion after `last_day`; refused where that had ended or not begun."""
    with recorded(actor, "champion-released", number, {"end": str(last_day)}):
        ending = Champion.objects.lasting_beyond(last_day).filter(pk=number, start__lte=last_day)
        if not ending.update(end=last_day):
            raise InputRefused(
                "This champion had stopped by then, or had not begun.",
                "The last day is the first or a later one.",
                "Look at the list again.",
            )


def _kinds(first: date, last: date) -> Counter[tuple[int, str, str]]:
    """Turns of duty by person, ward and kind of shift."""
    on = Shift.objects.on_duty().filter(date__gte=first, date__lte=last).exclude(ward="")
    return Counter(on.values_list("person", "ward", "kind"))


def _seen_again() -> dict[int, list[bool]]:
    """By assessor: for each person they were the first to sign off, whether the next to observe signed off too.

    Only an observation by somebody else counts, and only the first such.
    """
    first: dict[int, int] = {}
    later: dict[int, list[bool]] = {}
    told: set[int] = set()
    for person, assessor, outcome in Demonstration.objects.in_force().values_list(
        "person", "assessor", "outcome"
    ):
        if person not in first:
            first |= {person: assessor} if outcome == SIGNED_OFF else {}
        elif assessor != first[person] and person not in told:
            told.add(person)
            later.setdefault(first[person], []).append(outcome == SIGNED_OFF)
    return later


def _last_active(person: int) -> date | None:
    """The last day on which they observed somebody."""
    last = Demonstration.objects.in_force().filter(assessor=person).order_by("-time").first()
    return None if last is None else local_day(last.time)
