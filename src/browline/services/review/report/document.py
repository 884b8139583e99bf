"""A report as data: what is said, in which order, before anyone decides how it looks.

Paper and page are made from the same `Report`, so that they cannot disagree. Nothing here knows of fonts,
files or drawings: a `Chart` is the rows that a drawing needs.
"""

from dataclasses import dataclass, field
from datetime import date, datetime

from browline.documents.charts import ChartRows
from browline.documents.finding import BookFinding

CAUTION = (
    "This report supports teaching and quality review; it does not diagnose. Local policy and licensed judgement "
    "come first. A patient who looks ill is escalated whatever the number says."
)


@dataclass(frozen=True)
class Paragraph:
    """A paragraph of text; `strong` asks for emphasis."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Bullets:
    """Sentences of equal rank."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Grid:
    """A table: headings, rows of text as long as the headings, and which columns hold numbers."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: tuple[int, ...] = ()


@dataclass(frozen=True)
class Chart:
    """A drawing of these rows; `height` where its usual one does not fit, `small` where several share a row."""

    title: str
    rows: ChartRows
    height: int | None = None
    small: bool = False


Block = Paragraph | Bullets | Grid | Chart


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it.

    `level` 2 or 3; `together` where a page break would hurt; `new_page` where the reader wants one.
    """

    title: str
    blocks: tuple[Block, ...]
    level: int = 2
    together: bool = False
    new_page: bool = False


@dataclass(frozen=True)
class Number:
    """One of the three numbers of page 1, said and counted.

    `value` and `interval` are what the reader sees; `of` is the denominator and `n` the numerator where the
    number is a share of a count, else `n` is the number of readings it rests on.
    """

    label: str
    value: str
    interval: str
    basis: str
    n: int
    of: int | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Action:
    """What is to be done; `owner` is empty where nobody is named yet; `due` is suggested."""

    what: str
    owner: str
    due: date


@dataclass(frozen=True)
class Committee:
    """What the committee is asked to decide and who owns the actions, where somebody wrote it; else empty."""

    decision: str = ""
    owner: str = ""


UNDECIDED = Committee()


@dataclass(frozen=True)
class FirstPage:
    """What a committee reads: it must fit one page."""

    headline: str
    chart: Chart | None
    numbers: tuple[Number, ...]
    cannot_say: tuple[str, ...]
    decision: str
    actions: tuple[Action, ...]
    caution: str = CAUTION


@dataclass(frozen=True)
class Request:
    """The page for the data team: which columns are missing, and why each matters."""

    hospital: str
    made: datetime
    paper: str
    columns: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Report:
    """The whole report. `paper` is a4 or us-letter, `unit` C or F; `made` is the time printed and stamped."""

    hospital: str
    period: str
    made: datetime
    paper: str
    unit: str
    first: FirstPage
    sections: tuple[Section, ...]
    findings: tuple[BookFinding, ...] = field(default=())
