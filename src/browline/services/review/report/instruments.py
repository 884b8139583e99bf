"""The pages about instruments: one for each that is flagged, then all of them side by side."""

from collections.abc import Sequence
from datetime import timedelta

from browline import display
from browline.findings import NOT_JUDGED, OUTCOMES, finding_kind
from browline.services.review.model_part import why
from browline.services.review.report.cleaning import cleaning_sections
from browline.services.review.report.document import Block, Chart, Grid, Paragraph, Section
from browline.services.review.report.status import Found, by_instrument, is_open
from browline.services.review.rows import Document, InstrumentRow
from browline.services.review.supplement_rows import Supplement, WeekRow

MOST_DRAWN = 36
WEEK = timedelta(days=7)
NOT_NAMED = (
    "The charts do not say which instrument took a reading, so nothing can be said about single instruments. "
    "The request page names the column to ask for."
)


def instrument_sections(
    result: Document, supplement: Supplement, findings: Sequence[Found], unit: str
) -> list[Section]:
    """Flagged instruments in the order of their findings, then the whole fleet."""
    rows = result.get("instruments")
    if not rows:
        return [Section("Instruments", (Paragraph(NOT_NAMED),), new_page=True)]
    flagged = by_instrument([f for f in findings if is_open(f)])
    tolerance = float(supplement.get("tolerance_c", 0.3))
    known = {str(r["instrument"]): r for r in rows}
    intro = Paragraph(
        "Chart evidence asks for a check; it never fails an instrument. Bring a spare before one is taken away."
    )
    pages = [
        _page(name, group, known.get(name), supplement, tolerance, unit) for name, group in flagged.items()
    ]
    opening = [Section("Instruments to check", (intro,), new_page=True)] if pages else []
    fleet = _fleet(rows, set(flagged), tolerance, unit)
    return [*opening, *pages, fleet, *cleaning_sections(rows, supplement, unit)]


def _page(
    name: str,
    group: Sequence[Found],
    row: InstrumentRow | None,
    supplement: Supplement,
    tolerance: float,
    unit: str,
) -> Section:
    weeks = ((supplement.get("weeks") or {}).get("instrument") or {}).get(name) or []
    blocks: list[Block] = [Paragraph(f["sentence"], strong=True) for f in group]
    if weeks:
        since = next((f["since"] for f in group if f.get("since")), None)
        arguments = {
            "points": weeks,
            "subject": name,
            "since": since,
            "tolerance": tolerance,
            "comparator": (row and row.get("comparator")) or "its comparator",
            "height": 130,
        }
        blocks.append(Chart("weekly", f"{name} by week", arguments))
    blocks += [_facts(f, row, weeks, supplement, unit) for f in group]
    return Section(f"Instrument {name}", tuple(blocks), level=3, together=True)


def _facts(
    finding: Found,
    row: InstrumentRow | None,
    weeks: Sequence[WeekRow],
    supplement: Supplement,
    unit: str,
) -> Grid:
    because = why(finding, {"instruments": [row] if row else []}, supplement, unit)
    since = finding.get("since")
    comparator = finding.get("comparator") or (row and row.get("comparator")) or "a comparator not stated"
    alike = (row and row.get("confounded_with")) or ""
    facts = {
        "Size": f"{_effect(finding, unit)}; compared with {comparator}",
        "Rests on": (
            f"{_readings(finding['n'])}, "
            f"{f'since {display.day(since)}' if since else 'since when is not known'}"
        ),
        "Chance that it is truly off": display.chance(finding.get("probability")),
        "Cannot be told apart from": alike if isinstance(alike, str) else display.listed(list(alike)),
        "Typical reading": because.typical if because else "",
        "Likely causes": _causes(finding),
        "What charts cannot tell": " ".join(because.apart) if because else "",
        "Next step": finding["action"],
        "Readings to look back at": _look_back(finding, weeks),
        "Checked so far": _outcomes(finding),
    }
    told = tuple((what, text) for what, text in facts.items() if text)
    return Grid(finding_kind(finding["kind"]).name.capitalize(), ("", ""), told)


def _readings(n: int) -> str:
    return f"{display.count(n)} readings"


def _effect(finding: Found, unit: str) -> str:
    effect, low, high = finding.get("effect"), finding.get("low"), finding.get("high")
    if effect is None:
        return "not measured in degrees"
    if finding.get("unit") == "share":
        if low is None or high is None:
            return display.share(effect)
        return f"{display.share(effect)}, 95 % interval {display.share_span(low, high, finding['n'])}"
    size = display.both(abs(effect), unit).replace("+", "")
    return f"{_verb(finding, effect)} by {size}, 95 % interval {display.span(low, high, unit)}"


def _verb(finding: Found, effect: float) -> str:
    above, below = finding_kind(finding["kind"]).directions
    return above if effect > 0 else below


def _causes(finding: Found) -> str:
    told = []
    for cause in finding.get("causes") or []:
        chance = f" ({display.chance(cause['probability'])})" if cause.get("probability") is not None else ""
        apart = f"; to tell: {cause['tell_apart']}" if cause.get("tell_apart") else ""
        told.append(f"{cause['cause'][:1].upper()}{cause['cause'][1:]}{chance}{apart}")
    return ". ".join(told)


def _look_back(finding: Found, weeks: Sequence[WeekRow]) -> str:
    """The count given, else those of the weeks since; a week that began before counts whole."""
    since = finding.get("since")
    if finding.get("look_back") is not None:
        return f"{display.count(finding['look_back'])} (row numbers in the spreadsheet)"
    if not since or not weeks:
        return ""
    from_then = [w for w in weeks if display.as_date(w["week"]) > display.as_date(since) - WEEK]
    if not from_then:
        return ""
    return f"{display.count(sum(w['n'] for w in from_then))} since the week of {display.day(from_then[0]['week'])}"


def _outcomes(finding: Found) -> str:
    told = []
    for outcome in finding.get("outcomes") or []:
        when = f"{display.day(outcome['at'])}: " if outcome.get("at") else ""
        note = f" ({outcome['note']})" if outcome.get("note") else ""
        told.append(f"{when}{OUTCOMES.get(outcome['code'], outcome['code'])}{note}")
    return "; ".join(told)


def _fleet(rows: Sequence[InstrumentRow], flagged: set[str], tolerance: float, unit: str) -> Section:
    ordered = sorted(rows, key=lambda r: (r.get("offset_c") is None, r.get("offset_c") or 0.0))
    judged = [r for r in ordered if r.get("judged", True)]
    farthest = sorted(judged, key=lambda r: -abs(r.get("offset_c") or 0.0))[:MOST_DRAWN]
    marks = [
        {
            "name": r["instrument"],
            "low": r.get("low_c"),
            "estimate": r.get("offset_c"),
            "high": r.get("high_c"),
            "n": r["n"],
            "flagged": str(r["instrument"]) in flagged,
        }
        for r in judged
        if r in farthest
    ]
    title = "All instruments, difference from the comparator at 37 °C"
    drawn = title if len(marks) == len(judged) else f"The {len(marks)} instruments that differ most, at 37 °C"
    chart = [Chart("interval", drawn, {"rows": marks, "tolerance": tolerance})] if marks else []
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
    name, n = str(r["instrument"]), r["n"]
    since = r.get("since") if name in flagged else None
    comparator = r.get("comparator") or ""
    offset = r.get("offset_c")
    if n < display.FEWEST or offset is None:
        return (
            name,
            display.count(n),
            comparator,
            "–",
            r.get("reason") or "too few to tell",
            "",
            "flagged" if name in flagged else "",
        )
    size = display.signed(display.in_unit_difference(offset, unit))
    reach = display.span(r.get("low_c"), r.get("high_c"), unit)
    return (
        name,
        display.count(n),
        comparator,
        size,
        reach,
        display.day(since) if since else "",
        "flagged" * (name in flagged),
    )
