"""A kept plan made ready to be shown: names and words looked up now, for the page, the paper and the terminal."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from browline.competency.coverage import EXCLUDED
from browline.documents.plan import ChampionRow, PlanDocument
from browline.services.book.clock import ward_zone
from browline.services.training.visit_plan.document import TIME_WORDS
from browline.services.training.visit_plan.naming import names as names_of
from browline.services.training.visit_plan.options import Options, options_of
from browline.services.training.visit_plan.visits import ShownVisit, Stands, shown_visits
from browline.store.models import SessionPlan, Setting
from browline.visit_plan import Outcome, Reason
from browline.visit_plan.explain import gap_sentence, reach_sentence


@dataclass(frozen=True)
class Left:
    """People without a chance for one reason; each with who of those signed off works most beside them, if anybody."""

    reason: Reason
    people: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class NotCounted:
    """People who are not among those to reach, for one reason."""

    reason: str
    people: tuple[str, ...]


@dataclass(frozen=True)
class Gap:
    """A ward and time of the week where a champion is on too few turns: `said` tells how few."""

    ward: str
    shift: str
    said: str
    champions: tuple[str, ...]


@dataclass(frozen=True)
class Shown:
    """A plan to show. `sentences` open it; `missing` says what the book lacks; `book` is the book's identity."""

    number: int
    book: str
    made: datetime
    options: Options
    outcome: Outcome
    sentences: tuple[str, ...]
    visits: tuple[ShownVisit, ...]
    left: tuple[Left, ...]
    once: tuple[str, ...]
    gaps: tuple[Gap, ...]
    missing: tuple[str, ...]
    not_counted: tuple[NotCounted, ...]

    @property
    def last(self) -> date:
        """The last day of the plan."""
        return self.options.last_day

    @property
    def days(self) -> list[tuple[date, list[ShownVisit]]]:
        """The visits day by day."""
        return [(day, list(visits)) for day, visits in groupby(self.visits, key=lambda visit: visit.day)]

    @property
    def to_take(self) -> int:
        """How many visits are not sessions yet."""
        return sum(visit.session is None for visit in self.visits)


def shown(plan: SessionPlan) -> Shown:
    """A `SessionPlan` with its names."""
    result, options = plan.document, options_of(plan.options)
    names = names_of(result.people)
    outcome = Outcome(result.outcome)
    visits = shown_visits(result.visits, names, ward_zone())
    return Shown(
        number=plan.pk,
        book=Setting.objects.get(key="book-id").value,
        made=plan.made.astimezone(ward_zone()),
        options=options,
        outcome=outcome,
        sentences=(*_sentences(result, options, outcome), *_since(visits)),
        visits=visits,
        left=tuple(_left(result, names)),
        once=tuple(_named(result.once, names)),
        gaps=tuple(_gaps(result, names)),
        missing=tuple(_missing(result, options)),
        not_counted=tuple(_not_counted(result, names)),
    )


def _sentences(result: PlanDocument, options: Options, outcome: Outcome) -> list[str]:
    if not result.visits:
        return [outcome.sentence]
    release, visits = options.release / 100, len(result.visits)
    reach = reach_sentence(result.expected, result.to_reach, visits, result.hours, release)
    gap = gap_sentence(outcome, result.worth, result.bound, options.half_life_days)
    return [reach, gap or outcome.sentence]


def _since(visits: tuple[ShownVisit, ...]) -> list[str]:
    """What became of the visits after the plan was made, where it no longer holds for them."""
    cancelled = sum(visit.stands == Stands.CANCELLED for visit in visits)
    moved = sum(bool(visit.was) for visit in visits if visit.stands != Stands.CANCELLED)
    if not moved + cancelled:
        return []
    said = " and ".join(f"{n} {what}" for n, what in ((moved, "moved"), (cancelled, "cancelled")) if n)
    return [
        f"Of its visits {said} since; the numbers above are from before. Make a plan again to have them anew."
    ]


def _not_counted(result: PlanDocument, names: Mapping[int, str]) -> list[NotCounted]:
    return [
        NotCounted(EXCLUDED[reason], tuple(_named(people, names)))
        for reason, people in result.excluded.items()
    ]


def _left(result: PlanDocument, names: Mapping[int, str]) -> list[Left]:
    helpers = result.helpers

    def beside(person: int) -> str:
        if str(person) not in helpers:
            return ""
        helper, turns = helpers[str(person)]
        return f"{names[helper]} ({turns} turn{'s' * (turns != 1)} together)" if helper in names else ""

    return [
        Left(reason, tuple(sorted((names[p], beside(p)) for p in result.unreached[reason] if p in names)))
        for reason in Reason
        if reason.value in result.unreached
    ]


def _gaps(result: PlanDocument, names: Mapping[int, str]) -> list[Gap]:
    """Wards and times of the week where a champion who is signed off is on fewer than half of the turns."""
    return [
        Gap(row.ward, TIME_WORDS[row.shift], _said(row), tuple(_named(row.champions, names)))
        for row in result.champions
        if 2 * row.covered < row.turns
    ]


def _said(row: ChampionRow) -> str:
    if row.covered:
        return f"a champion is on for {row.covered} of {row.turns}"
    if row.not_signed_off:
        return "the champion named is not signed off yet"
    return "no champion"


def _named(people: Iterable[int], names: Mapping[int, str]) -> list[str]:
    return sorted(names[p] for p in people if p in names)


def _missing(result: PlanDocument, options: Options) -> list[str]:
    days, all_days = result.days_on_roster, 7 * options.weeks
    if days == 0:
        return ["No turn of duty is known for these weeks: bring a roster in."]
    if days < all_days:
        return [f"The roster covers {days} of the {all_days} days; on the others nobody can be called."]
    return []
