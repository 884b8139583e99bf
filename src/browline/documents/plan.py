"""The session plan as its contract writes it and as the book stores it, format browline-plan/1.

People stand in it by their number in the book, never by name; names are looked up when it is rendered.
"""

from typing import Annotated

from msgspec import Meta, Struct, convert, field

from browline.documents.constraints import Count
from browline.documents.encoding import Number, Plain, json_of, plain, plain_of

FORMAT = "browline-plan/1"
People = tuple[int, ...]


class VisitRow(Struct, frozen=True, kw_only=True):
    """One visit. `calls`: a person and the how-manieth of their chances it is.

    `session`: the one that was arranged from it, if any; `fixed`: whether it was settled before the plan was made.
    """

    key: str
    time: str
    minutes: Count
    ward: str
    shift: str
    on_duty: Count
    places: Count
    expected: Number
    calls: tuple[tuple[int, int], ...] = ()
    session: int | None = None
    fixed: bool = field(name="kept", default=False)


class ChampionRow(Struct, frozen=True, kw_only=True):
    """A ward and time of the week: of its `turns`, those `covered` by a champion who is signed off."""

    ward: str
    shift: str
    turns: Count
    covered: Count = field(name="held")
    champions: People = ()
    not_signed_off: Count = 0


class PlanDocument(Struct, frozen=True, kw_only=True):
    """The whole plan. `worth` and `bound`: people reached, sooner counting more, less the price of hours.

    `make_ups`: person to numbers of visits; `unreached`, `excluded`: reason to people; `helpers`: for a person without
    a chance, who works most beside them, and on how many turns.
    """

    format: Annotated[str, Meta(extra_json_schema={"const": FORMAT})] = FORMAT
    outcome: str
    to_reach: Count = 0
    with_chance: Count = 0
    expected: Number = 0
    hours: Number = 0
    worth: Number = 0
    bound: Number = 0
    gap: Number | None = None
    on_roster: Count = 0
    days_on_roster: Count = 0
    visits: tuple[VisitRow, ...] = ()
    make_ups: dict[str, People] = {}
    once: People = ()
    unreached: dict[str, People] = {}
    excluded: dict[str, People] = {}
    helpers: dict[str, tuple[int, int]] = {}
    champions: tuple[ChampionRow, ...] = ()

    @property
    def people(self) -> set[int]:
        """Everybody whom the plan's words speak of."""
        people = {person for visit in self.visits for person, _ in visit.calls}
        for reasons in (self.unreached, self.excluded):
            people |= {person for group in reasons.values() for person in group}
        people |= {helper for helper, _ in self.helpers.values()}
        return people | {person for row in self.champions for person in row.champions}


def read_plan(contract: object) -> PlanDocument:
    """The document of a stored plan, whichever version made it; raises `msgspec.ValidationError`."""
    return convert(contract, PlanDocument)


def plan_json(options: object, document: PlanDocument) -> str:
    """The plan as other programs read it, after the options that were asked for; raises `NotFinite`."""
    contract: dict[str, Plain] = {"options": plain_of(options), **plain(document)}
    return json_of(contract)
