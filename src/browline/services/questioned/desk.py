"""A questioned reading at the desk, for teaching, debrief and review: from what was typed to an answer in words.

    answer(case, desk_of_book(now)) -> Answer          replay(cases, desk) -> Answer or Refused, one for each

Nothing is kept: a case is words and numbers of one request. A desk is gathered once and answers many.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import date
from typing import NamedTuple, TypeVar, cast

from browline import questioned
from browline.errors import InputRefused, NotUnderstood, Refusal
from browline.quantities.both_units import both_units
from browline.quantities.sites import TEMPORAL
from browline.questioned import Explained, Problem, Reading, Result, Step, explain
from browline.questioned.crossing import crossing
from browline.questioned.withheld import to_read, withheld
from browline.services.book.preferences import FEVER_C, LOW_C, SHOW_UNIT, choice
from browline.services.materials import documents
from browline.services.materials.handouts.cards import worded_in
from browline.services.questioned import guards
from browline.services.questioned.case import Rest, line_of, readings_of, rest_of
from browline.services.questioned.contraindications import AGES, heeded
from browline.services.questioned.priors import InUse, as_published, in_intensive_care, priors_in_use
from browline.services.questioned.sources import COURSE, INSTRUMENT, SITE, Source
from browline.site_choice import ESCALATE, Rule, default, rules_of
from browline.store.models import Instrument

T = TypeVar("T")

RULES = "site-and-cover"
GROUPS = Source(
    "groups",
    TEMPORAL,
    "that forehead readings may miss more fevers in some groups: published (Bhavani 2022; among Black patients the "
    "forehead found a fever in 10.1 of 100 and the mouth in 13.2, among White patients in 10.8 and 10.2), and "
    "disputed in a published reply of 2023, which found the forehead alike in both",
)
NOT_THE_BEDSIDE = "At a bedside the approved pathway holds. This answer is not for deciding there."


@dataclass(frozen=True)
class Desk:
    """What questions are answered with: priors and their sources, the lines in °C, the rules of sites, the register."""

    in_use: InUse
    rules: tuple[Rule, ...]
    fever_c: float = FEVER_C
    low_c: float = LOW_C
    unit: str = SHOW_UNIT
    instruments: tuple[str, ...] = ()


class Asked(NamedTuple):
    """A question as the room has it, the priors used, the emergencies of the rules, and what was mended in it.

    `problem` holds every reading; `used`: which may speak of now; `risks`: why this patient is not weighed.
    """

    problem: Problem
    in_use: InUse
    emergencies: tuple[Rule, ...]
    notes: tuple[str, ...]
    used: tuple[int, ...]
    risks: tuple[str, ...]


@dataclass(frozen=True)
class Answer:
    """One answer. `escalate` is read first, then `emergencies`; `notes`: what was taken otherwise than written.

    `readings`: all that were given; those at the places `used` speak of now, and `problem` holds these alone (all,
    where none does); `not_used` says so of the others. `told`: the answer in words, every temperature in both units,
    `unit` first. `withheld`: why no chance is told; `result` is None then. `sources`: where the figures behind it come
    from, this book's first.
    """

    problem: Problem
    readings: tuple[Reading, ...]
    used: tuple[int, ...]
    not_used: str
    withheld: guards.Withheld | None
    result: Result | None
    steps: tuple[Step, ...]
    told: Explained
    sources: tuple[Source, ...]
    emergencies: tuple[str, ...]
    notes: tuple[str, ...]
    unit: str
    escalate: str = ESCALATE

    @property
    def act_as(self) -> str | None:
        """What to act as: by the model; where no chance is told, by the lines that are crossed, None where none is.

        Where no reading may speak of now, a line that the last ones crossed still holds until it is read again.
        """
        return crossing(self.problem).act_as if self.result is None else self.result.act_as

    @property
    def act_on(self) -> tuple[int, ...]:
        """Places of the readings to act on: those that cross a line."""
        return tuple(self.used[k] for k in crossing(self.problem).readings) if self.used else ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """What is to be heeded beside the answer."""
        return (*self.told.beside, NOT_THE_BEDSIDE)


@dataclass(frozen=True)
class Refused:
    """A case of many that was not answered, counted from 1, and why."""

    number: int
    why: Refusal = field(compare=False)


def desk_of_book(today: date) -> Desk:
    """What this book answers with today."""
    fever_c, unit = choice("fever_c"), choice("show_unit")
    return Desk(
        in_use=priors_in_use(),
        rules=rules_of(worded_in(documents.in_force(RULES, today).body, unit, fever_c)),
        fever_c=fever_c,
        low_c=choice("low_c"),
        unit=unit,
        instruments=tuple(Instrument.objects.values_list("name", flat=True)),
    )


def desk_without_book() -> Desk:
    """What the program answers with where there is no book: published values, rules and lines as they come."""
    return Desk(in_use=as_published(), rules=rules_of(worded_in(default(), SHOW_UNIT, FEVER_C)))


def answer(case: Mapping[str, object], desk: Desk) -> Answer:
    """Answer one case (see `browline.services.questioned.case`); refused where it cannot be understood."""
    question = asked(case, desk)
    whole, used = question.problem, question.used
    problem = replace(whole, readings=tuple(whole.readings[k] for k in used)) if used else whole
    why = guards.why_withheld(question.risks, bool(used))
    result = None if why else questioned.solve(problem)
    words = _in_words(problem, result, question)
    warnings = guards.emergencies(str(case.get("age", "adult")), question.risks, problem if used else None)
    return Answer(
        problem=problem,
        readings=whole.readings,
        used=used,
        not_used=both_units(guards.not_used(whole.readings, used), desk.unit),
        withheld=why,
        result=result,
        steps=to_read(problem) if result is None else result.steps,
        told=worded(words, desk.unit),
        sources=_behind(problem, question.in_use),
        emergencies=worded((*(rule.says for rule in question.emergencies), *warnings), desk.unit),
        notes=question.notes,
        unit=desk.unit,
    )


def _in_words(problem: Problem, result: Result | None, question: Asked) -> Explained:
    if result is not None:
        return explain(problem, result)
    return withheld(
        problem,
        recent=bool(question.used),
        at_risk=bool(question.risks),
        speaks_minutes=guards.SPEAKS_MINUTES,
    )


def asked(case: Mapping[str, object], desk: Desk) -> Asked:
    """The question of a case as the room asks it; whatever is wrong with a case is a refused input."""
    try:
        return _asked(case, desk)
    except NotUnderstood as refusal:
        raise InputRefused(refusal.came, refusal.wanted, refusal.do) from None


def _asked(case: Mapping[str, object], desk: Desk) -> Asked:
    entries = rest_of(case)
    readings, mended = readings_of(case)
    in_use = in_intensive_care(desk.in_use) if entries["care"] == "intensive" else desk.in_use
    heed = heeded(entries["age"], _flags(entries), desk.rules)
    fever_c, low_c = (line_of(case, name, getattr(desk, name)) for name in ("fever_c", "low_c"))
    fever_c, low_c = guards.lines_of(entries["age"], fever_c, low_c)
    names = {name.casefold(): name for name in desk.instruments}
    problem = Problem(
        readings=tuple(_of_register(reading, names) for reading in readings),
        answers=entries["answers"],
        age=AGES[entries["age"]][1],
        fever_c=fever_c,
        low_c=low_c,
        core_probe=entries["core_probe"],
        contraindications=heed.contraindications,
        another=entries["another"],
        costs=entries["costs"],
        priors=in_use.priors,
    )
    risks = guards.at_risk(entries["age"], entries["flags"], entries["answers"])
    return Asked(
        problem=problem,
        in_use=in_use,
        emergencies=heed.emergencies,
        notes=mended,
        used=guards.recent(problem.readings),
        risks=risks,
    )


def replay(cases: Iterable[Mapping[str, object]], desk: Desk) -> Iterator[Answer | Refused]:
    """Answer many, one after the other; one that is refused is told by its number and stops no other."""
    for number, case in enumerate(cases, start=1):
        try:
            yield answer(case, desk)
        except Refusal as refusal:
            yield Refused(number, refusal)


def worded(words: T, unit: str) -> T:
    """The words of an answer with every marked temperature in both units."""
    return cast(T, _worded(words, unit))


def _worded(words: object, unit: str) -> object:
    if isinstance(words, str):
        return both_units(words, unit)
    if isinstance(words, tuple):
        return tuple(_worded(part, unit) for part in words)
    if is_dataclass(words) and not isinstance(words, type):
        return replace(
            words, **{part.name: _worded(getattr(words, part.name), unit) for part in fields(words)}
        )
    return words


def _flags(entries: Rest) -> frozenset[str]:
    """What the rules are told: the contraindications, and what follows from answers."""
    follows = {
        "looks-ill": entries["answers"].get("worsening") == "yes",
        "core-probe": bool(entries["core_probe"]),
    }
    return frozenset(entries["flags"]) | {word for word, holds in follows.items() if holds}


def _of_register(reading: Reading, names: Mapping[str, str]) -> Reading:
    """The reading with its instrument as the register writes it."""
    return replace(reading, instrument=names.get(reading.instrument.casefold(), reading.instrument))


def _behind(problem: Problem, in_use: InUse) -> tuple[Source, ...]:
    """The sources that this question touches."""
    used = {SITE: {r.site for r in problem.readings}, INSTRUMENT: {r.instrument for r in problem.readings}}
    touched = tuple(s for s in in_use.sources if s.about == COURSE or s.name in used[s.about])
    return (*touched, GROUPS) if TEMPORAL in used[SITE] else touched
