"""The audit sample: which charted readings to look at by hand, drawn from the book so that nobody picks them.

The list names each by its import, its row number in the file, its time and its ward, and by nothing that
points at a patient. An import is told by its number, its day and its rows, because names of files are not
kept. The same book and seed give the same list.
"""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from browline import display
from browline.audit.sample import Drawn, charts_needed, draw
from browline.errors import InputRefused, NotUnderstood
from browline.services.book.clock import ward_zone
from browline.store.event_log import write_event
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Import
from browline.store.readings import view_readings

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

NOT_SAID = "ward not said"
LARGEST_SEED = 10**6
LOOK_FOR = "Decide first what you look for, for example: value, time and site agree with the bedside record"
HEADINGS = ("number", "list", "import", "row", "time", "ward", f"met, yes or no. {LOOK_FOR}")


@dataclass(frozen=True)
class Listed:
    """One charted reading on the list: where it stands, and whether it is a stand-in."""

    stand_in: bool
    source: int
    row: int
    time: str
    ward: str


@dataclass(frozen=True)
class Origin:
    """An import that charts of the list come from: `number`, the book's `label`, its day, the rows taken."""

    number: int
    label: str
    day: date
    taken: int

    def __str__(self) -> str:
        return f"import {self.number}: {self.label}, imported {self.day}, {display.number(self.taken)} rows taken"


@dataclass(frozen=True)
class AuditSample:
    """A list drawn with `seed` from `population` charted readings; stand-ins last, in the order of their use."""

    seed: int
    population: int
    charts: tuple[Listed, ...]
    imports: tuple[Origin, ...]

    @property
    def count(self) -> int:
        """How many charts to look at, stand-ins aside."""
        return sum(not c.stand_in for c in self.charts)

    @property
    def is_whole(self) -> bool:
        """Whether every reading that may be drawn is to be looked at."""
        return self.count == self.population


def table(sample: AuditSample) -> list[tuple[int, str, str, int, str, str, str]]:
    """The list as rows under `HEADINGS`, the last column empty for the answers."""
    origins = {o.number: str(o) for o in sample.imports}
    return [
        (number, "stand-in" if c.stand_in else "look at", origins[c.source], c.row, c.time, c.ward, "")
        for number, c in enumerate(sample.charts, start=1)
    ]


def draw_sample(
    book: Book,
    *,
    half_width: float = 0.1,
    expected: float = 0.5,
    count: int | None = None,
    ward: str | None = None,
    by_ward: bool = False,
    since: date | None = None,
    until: date | None = None,
    seed: int | None = None,
    actor: str = "educator",
) -> AuditSample:
    """Draw charted readings to look at: `count`, or as many as `half_width` needs (see `charts_needed`).

    From one `ward` or all, from `since` to `until` by the ward's own calendar, both days included. `by_ward`
    shares the list over the wards in proportion to their readings. Without a `seed` one is chosen and told.
    """
    import secrets

    import numpy as np

    seed = secrets.randbelow(LARGEST_SEED) if seed is None else seed
    con = working_memory()
    _frame(con, book, ward, since, until, by_ward)
    strata = con.execute("SELECT stratum, count(*) FROM frame GROUP BY 1 ORDER BY 1").fetchall()
    population = sum(size for _, size in strata)
    if not population:
        raise _nothing_there(con, ward)
    count = charts_needed(half_width, expected, population) if count is None else count
    drawn = draw([size for _, size in strata], count, np.random.default_rng(seed))
    charts = _listed(con, [name for name, _ in strata], drawn)
    sample = AuditSample(seed, population, charts, _origins({c.source for c in charts}))
    options: dict[str, object] = {
        "ward": ward,
        "by_ward": by_ward,
        "since": since.isoformat() if since else None,
        "until": until.isoformat() if until else None,
    }
    _record(sample, options, actor)
    return sample


def _frame(
    con: "DuckDBPyConnection",
    book: Book,
    ward: str | None,
    since: date | None,
    until: date | None,
    by_ward: bool,
) -> None:
    """Table `frame`: every charted reading that may be drawn, numbered within its stratum by import and row."""
    view_readings(con, book)
    tests = [
        ("ward = ?", ward),
        ("(time + to_minutes(shift))::DATE >= ?", since),
        ("(time + to_minutes(shift))::DATE <= ?", until),
    ]
    conditions = [(test, value) for test, value in tests if value is not None]
    where = "".join(f" AND {test}" for test, _ in conditions)
    stratum = f"coalesce(ward, '{NOT_SAID}')" if by_ward else "''"
    con.execute(
        f"""CREATE TEMP TABLE frame AS SELECT {stratum} AS stratum, source, row, time, shift, ward,
        row_number() OVER (PARTITION BY {stratum} ORDER BY source, row) - 1 AS place
        FROM readings WHERE true{where}""",
        [value for _, value in conditions],
    )


def _listed(con: "DuckDBPyConnection", strata: list[str], drawn: Drawn) -> tuple[Listed, ...]:
    """The charts drawn: those to look at by import and row, then the stand-ins as they were drawn."""
    rows = con.execute(
        """SELECT stand_in, source, row, strftime(time + to_minutes(shift), '%Y-%m-%d %H:%M'), coalesce(ward, ?)
        FROM frame JOIN (SELECT unnest(?::VARCHAR[]) AS stratum, unnest(?::BIGINT[]) AS place,
                         unnest(?::BOOLEAN[]) AS stand_in, unnest(?::BIGINT[]) AS turn) USING (stratum, place)
        ORDER BY stand_in, CASE WHEN stand_in THEN turn END, source, row""",
        [
            NOT_SAID,
            [strata[s] for s in drawn.stratum],
            drawn.place.tolist(),
            drawn.stand_in.tolist(),
            list(range(len(drawn))),
        ],
    ).fetchall()
    return tuple(
        Listed(stand_in=stand_in, source=source, row=row, time=time, ward=ward)
        for stand_in, source, row, time, ward in rows
    )


def _origins(numbers: set[int]) -> tuple[Origin, ...]:
    """These imports in order, each with its day as the hospital's clock had it, as the pages show it."""
    zone = ward_zone()
    return tuple(
        Origin(i.pk, i.label, i.at.astimezone(zone).date(), i.taken)
        for i in Import.objects.filter(pk__in=numbers).order_by("pk")
    )


def _nothing_there(con: "DuckDBPyConnection", ward: str | None) -> Exception:
    wards = [
        w
        for (w,) in con.execute(
            "SELECT DISTINCT ward FROM readings WHERE ward IS NOT NULL ORDER BY 1"
        ).fetchall()
    ]
    if ward is not None and ward not in wards:
        return NotUnderstood(
            f"No ward of this book is called {ward!r}.",
            f"Its wards are {', '.join(wards) or 'not said'}.",
            "Write the name as the charts do.",
        )
    return InputRefused(
        "There are no charted readings to draw from.",
        "A sample is drawn from the readings in force, on the ward and days asked for.",
        "Import an export first, or choose other days.",
    )


def _record(sample: AuditSample, options: dict[str, object], actor: str) -> None:
    data = {"seed": sample.seed, "charts": sample.count, "of": sample.population, **options}
    write_event(actor, "sample", f"{sample.count} charts", data)
