"""The pages about instruments: one for each that is flagged, then all of them side by side."""

from collections.abc import Sequence
from datetime import timedelta

from browline import display
from browline.documents.charts import IntervalMark, IntervalRows, WeeklyRows
from browline.documents.review import InstrumentRow, ReviewDocument
from browline.documents.supplement import WeekRow
from browline.findings import NOT_JUDGED, OUTCOMES, finding_kind
from browline.services.review.model_part import why
from browline.services.review.report.cleaning import cleaning_sections
from browline.services.review.report.document import Block, Chart, Grid, Paragraph, Section
from browline.services.review.report.status import Found, by_instrument, is_open, subject

MOST_DRAWN = 36
WEEK = timedelta(days=7)
NOT_NAMED = (
    "The charts do not say which instrument took a reading, so nothing can be said about single instruments. "
    "The request page names the column to ask for."
)


def instrument_sections(document: ReviewDocument, findings: Sequence[Found], unit: str) -> list[Section]:
    """Flagged instruments in the order of their findings, then the whole fleet."""
    rows = document.instruments
    if not rows:
        return [Section("Instruments", (Paragraph(NOT_NAMED),), new_page=True)]
    flagged = by_instrument([f for f in findings if is_open(f)])
    intro = Paragraph(
        "Chart evidence asks for a check; it never fails an instrument. Bring a spare before one is taken away."
    )
    pages = [_page(name, group, document, unit) for name, group in flagged.items()]
    opening = [Section("Instruments to check", (intro,), new_page=True)] if pages else []
    fleet = _fleet(rows, set(flagged), document.supplement.tolerance_c, unit)
    return [*opening, *pages, fleet, *cleaning_sections(document, unit)]


def _page(name: str, group: Sequence[Found], document: ReviewDocument, unit: str) -> Section:
    weeks = document.supplement.weeks.instrument.get(name, ())
    blocks: list[Block] = [Paragraph(f.sentence, strong=True) for f in group]
    if weeks:
        blocks.append(Chart(f"{name} by week", _weekly(name, group, document), height=130))
    blocks += [_facts(f, document, weeks, unit) for f in group]
    return Section(f"Instrument {name}", tuple(blocks), level=3, together=True)


def _weekly(name: str, group: Sequence[Found], document: ReviewDocument) -> WeeklyRows:
    row = document.instrument(name)
    return WeeklyRows(
        points=document.supplement.weeks.instrument[name],
        subject=name,
        since=next((f.since for f in group if f.since), None),
        tolerance=document.supplement.tolerance_c,
        comparator=(row and row.comparator) or "its comparator",
    )


def _facts(finding: Found, document: ReviewDocument, weeks: Sequence[WeekRow], unit: str) -> Grid:
    because = why(finding, document, unit)
    row = document.instrument(subject(finding)[1])
    since = finding.since
    comparator = finding.comparator or (row and row.comparator) or "a comparator not stated"
    alike = (row and row.confounded_with) or ()
    facts = {
        "Size": f"{_effect(finding, unit)}; compared with {comparator}",
        "Rests on": (
            f"{_readings(finding.n)}, {f'since {display.day(since)}' if since else 'since when is not known'}"
        ),
        "Chance that it is truly off": display.chance(finding.probability),
        "Cannot be told apart from": display.listed(list(alike)) if alike else "",
        "Typical reading": because.typical if because else "",
        "Likely causes": _causes(finding),
        "What charts cannot tell": " ".join(because.apart) if because else "",
        "Next step": finding.action,
        "Readings to look back at": _look_back(finding, weeks),
        "Checked so far": _outcomes(finding),
    }
    rows = tuple((label, text) for label, text in facts.items() if text)
    return Grid(finding_kind(finding.kind).name.capitalize(), ("", ""), rows)


def _readings(n: int) -> str:
    return f"{display.count(n)} readings"


def _effect(finding: Found, unit: str) -> str:
    effect, low, high = finding.effect, finding.low, finding.high
    if effect is None:
        return "not measured in degrees"
    if finding.unit == "share":
        if low is None or high is None:
            return display.share(effect)
        return f"{display.share(effect)}, 95 % interval {display.share_span(low, high, finding.n)}"
    size = display.both(abs(effect), unit).replace("+", "")
    return f"{_verb(finding, effect)} by {size}, 95 % interval {display.span(low, high, unit)}"


def _verb(finding: Found, effect: float) -> str:
    above, below = finding_kind(finding.kind).directions
    return above if effect > 0 else below


def _causes(finding: Found) -> str:
    causes = []
    for cause in finding.causes:
        chance = f" ({display.chance(cause.probability)})" if cause.probability is not None else ""
        apart = f"; to tell: {cause.tell_apart}" if cause.tell_apart else ""
        causes.append(f"{cause.cause[:1].upper()}{cause.cause[1:]}{chance}{apart}")
    return ". ".join(causes)


def _look_back(finding: Found, weeks: Sequence[WeekRow]) -> str:
    """The count given, else those of the weeks since; a week that began before counts whole."""
    since = finding.since
    if finding.look_back is not None:
        return f"{display.count(finding.look_back)} (row numbers in the spreadsheet)"
    if not since or not weeks:
        return ""
    from_then = [w for w in weeks if display.as_date(w.week) > display.as_date(since) - WEEK]
    if not from_then:
        return ""
    return f"{display.count(sum(w.n for w in from_then))} since the week of {display.day(from_then[0].week)}"


def _outcomes(finding: Found) -> str:
    outcomes = []
    for outcome in finding.outcomes:
        when = f"{display.day(outcome.at)}: " if outcome.at else ""
        note = f" ({outcome.note})" if outcome.note else ""
        outcomes.append(f"{when}{OUTCOMES.get(outcome.code, outcome.code)}{note}")
    return "; ".join(outcomes)


def _fleet(rows: Sequence[InstrumentRow], flagged: set[str], tolerance: float, unit: str) -> Section:
    ordered = sorted(rows, key=lambda r: (r.offset_c is None, r.offset_c or 0.0))
    judged = [r for r in ordered if r.judged]
    farthest = sorted(judged, key=lambda r: -abs(r.offset_c or 0.0))[:MOST_DRAWN]
    marks = tuple(_mark(r, flagged) for r in judged if r in farthest)
    title = "All instruments, difference from the comparator at 37 °C"
    drawn = title if len(marks) == len(judged) else f"The {len(marks)} instruments that differ most, at 37 °C"
    chart = [Chart(drawn, IntervalRows(rows=marks, tolerance=tolerance))] if marks else []
    headings = (
        "instrument",
        "readings",
        "compared with",
        f"difference, °{unit}",
        "95 % interval",
        "since",
        "flag",
    )
    table = Grid(title, headings, tuple(_line(r, flagged, unit) for r in ordered), numeric=(1, 3, 4))
    return Section("All instruments", (*chart, *_not_judged(len(rows) - len(judged)), table), new_page=True)


def _mark(r: InstrumentRow, flagged: set[str]) -> IntervalMark:
    return IntervalMark(
        name=r.instrument,
        low=r.low_c,
        estimate=r.offset_c,
        high=r.high_c,
        n=r.n,
        flagged=r.instrument in flagged,
    )


def _not_judged(number: int) -> list[Paragraph]:
    if not number:
        return []
    return [
        Paragraph(
            f"{display.many(number, 'instrument is', 'instruments are')} {NOT_JUDGED}. This does not say that"
            f" {'it reads' if number == 1 else 'they read'} right."
        )
    ]


def _line(r: InstrumentRow, flagged: set[str], unit: str) -> tuple[str, ...]:
    name, n = r.instrument, r.n
    since = r.since if name in flagged else None
    comparator = r.comparator or ""
    offset = r.offset_c
    if n < display.FEWEST or offset is None:
        return (
            name,
            display.count(n),
            comparator,
            "–",
            r.reason or "too few to tell",
            "",
            "flagged" if name in flagged else "",
        )
    size = display.signed(display.in_unit_difference(offset, unit))
    reach = display.span(r.low_c, r.high_c, unit)
    return (
        name,
        display.count(n),
        comparator,
        size,
        reach,
        display.day(since) if since else "",
        "flagged" * (name in flagged),
    )
