"""The closing pages: how it was worked out, what was left out, what remains open, with what it was made."""

from collections.abc import Sequence

from browline import display
from browline.documents.model import GroupRow, ModelSpread
from browline.documents.review import ReviewDocument, Spread
from browline.documents.supplement import Supplement
from browline.findings import OUTCOMES, finding_kind
from browline.services.review.report.document import Block, Bullets, Grid, Paragraph, Section
from browline.services.review.report.exclusions import exclusions
from browline.services.review.report.months import in_numbers, scattered
from browline.services.review.report.status import Found, impersonal, personal, subject

WHY = {
    "flagged": "taken with an instrument or on a ward flagged for a check, since the fault began",
    "flagged-instrument": "taken with an instrument flagged for a check, since its fault began",
    "unit": "charted in the other unit, put right by its size",
    "no-temperature": "no temperature a living patient can have",
    "unlikely": "unlikely to have been measured as charted (a count over wards, not of single readings)",
    "implausible": "implausible value",
    "no-number": "no number charted",
    "site-missing": "no clear site charted",
}


def answered_sections(findings: Sequence[Found]) -> list[Section]:
    """Findings that were checked, with what the check showed."""
    rows = tuple(
        (
            subject(f)[1],
            finding_kind(f.kind).name,
            OUTCOMES.get(o.code, o.code),
            _day(o.at),
        )
        for f in findings
        for o in f.outcomes
        if not personal(f)
    )
    if not rows:
        return []
    return [
        Section(
            "What checks have shown",
            (Grid("Outcomes recorded", ("where", "finding", "outcome", "date"), rows),),
        )
    ]


def withdrawn_sections(findings: Sequence[Found]) -> list[Section]:
    """Findings that were taken back, each with its reason."""
    rows = tuple(
        (subject(f)[1], finding_kind(f.kind).name, f.withdrawn) for f in impersonal(findings) if f.withdrawn
    )
    if not rows:
        return []
    return [Section("Withdrawn", (Grid("Findings taken back", ("where", "finding", "why"), rows),))]


def _day(when: str | None) -> str:
    return display.day(when) if when else ""


def closing_sections(document: ReviewDocument, unit: str) -> list[Section]:
    """Method, exclusions, limits, versions."""
    supplement = document.supplement
    return [
        Section(
            "How this was worked out",
            (
                Bullets(_method(supplement)),
                *in_numbers(supplement),
                *_reasons(supplement),
                *_spread(document, unit),
            ),
            new_page=True,
        ),
        Section("What came in and what was left out", tuple(exclusions(document))),
        Section("What this cannot say", tuple(_limits(document))),
        Section("Made with", (Grid("Versions", ("program", "version"), _versions(supplement)),), level=3),
    ]


def _method(supplement: Supplement) -> tuple[str, ...]:
    tolerance = supplement.tolerance_c
    sentences = [
        "The share that cannot be relied on is a count over all readings taken: each reading counts once, for the "
        "first of the reasons listed below.",
        "Instruments, wards and sites are compared within patients as far as the charts allow: one model takes the "
        "patient, the course of the illness, the hour of day, site, ward, instrument and who charted into account "
        "together, so that a ward with sicker patients is not mistaken for a faulty instrument.",
        "An instrument is flagged when it is likely to be off by more than "
        f"{display.difference(tolerance).lstrip('+')} "
        f"({display.difference(tolerance, 'F').lstrip('+')}). Flags are chosen so that no more than "
        f"{display.percent(supplement.false_share)} of them are expected to be false alarms.",
        "Every interval is a 95 % interval. For shares it is the Wilson interval; it treats readings as unrelated, "
        "and since readings of one stay resemble one another, the true uncertainty is somewhat wider.",
        "“Likely so many truly off” adds up the chances of the single flags.",
        f"Groups of fewer than {display.FEWEST} readings are shown as “{display.FEWER}”; "
        "nothing is worked out for them.",
    ]
    if supplement.fit_outcome not in (None, "converged"):
        sentences.append(f"The model did not settle ({supplement.fit_outcome}): read its numbers with care.")
    return tuple(sentences)


def _reasons(supplement: Supplement) -> list[Grid]:
    """Why readings cannot be relied on, over all months."""
    counts: dict[str, int] = {}
    for month in supplement.months:
        for reason, n in month.why.items():
            counts[reason] = counts.get(reason, 0) + n
    rows = tuple(
        (WHY.get(reason, reason.replace("-", " ")), display.count(n)) for reason, n in counts.items() if n
    )
    return [Grid("Why readings cannot be relied on", ("reason", "readings"), rows, (1,))] if rows else []


def _sizes(spread: Spread | ModelSpread) -> dict[str, float | None]:
    """Standard deviations by their source in words, °C; three of them only where the model's part is there."""
    whole = spread if isinstance(spread, ModelSpread) else None
    beyond = (
        {}
        if whole is None
        else {
            "between sites of one patient, beyond what sites differ by on the whole": whole.at_site_sd_c,
            "between wards": whole.ward_sd_c,
            "between a ward’s months": whole.month_sd_c,
        }
    )
    return {
        "between patients": spread.patient_sd_c,
        "within a stay, over time": spread.course_sd_c,
        **beyond,
        "between instruments": spread.instrument_sd_c,
        "between those who chart": spread.person_sd_c,
        "between repeated readings": spread.reading_sd_c,
    }


def _spread(document: ReviewDocument, unit: str) -> list[Block]:
    """Where the differences come from, in the largest group of stays; then each group's own where there are several."""
    model = document.supplement.model
    spread = document.spread if model is None else model.spread
    if spread is None:
        return []
    rows = tuple((name, _size(size, unit)) for name, size in _sizes(spread).items())
    heading = ("source", f"typical size (standard deviation), °{unit}")
    blocks: list[Block] = [Grid("Where the differences come from", heading, rows, (1,)), Paragraph(SINGLE)]
    hours = spread.course_hours
    if hours is not None:
        blocks.append(Paragraph(FORGOTTEN.format(hours=hours * LN2)))
    groups = () if model is None else model.groups
    if len(groups) > 1:
        headings = (
            "stays in",
            f"between patients, °{unit}",
            f"within a stay, °{unit}",
            "half forgotten after, hours",
        )
        lines = tuple(_group(g, unit) for g in groups)
        blocks.append(Grid("The same by care of the stay", headings, lines, (1, 2, 3)))
    return blocks


FORGOTTEN = "The course of a stay is half forgotten after {hours:.0f} hours."
LN2 = 0.6931471805599453
SINGLE = "These are best single figures, given without an interval; nothing is flagged by them alone."


def _size(value: float | None, unit: str) -> str:
    return "not known" if value is None else display.decimal(display.in_unit_difference(value, unit), 2)


def _group(g: GroupRow, unit: str) -> tuple[str, ...]:
    sizes = (_size(g.patient_sd_c, unit), _size(g.course_sd_c, unit))
    return (g.group, *sizes, display.decimal(g.course_hours * LN2, 0))


def _limits(document: ReviewDocument) -> list[Block]:
    supplement = document.supplement
    dates = scattered(supplement.months)
    limits = tuple(dict.fromkeys([*document.limits, *([dates] if dates else [])]))
    blocks: list[Block] = [Bullets(limits)] if limits else []
    if supplement.can_answer:
        blocks += [Paragraph("These files can answer:", strong=True), Bullets(supplement.can_answer)]
    if supplement.cannot_answer:
        blocks += [Paragraph("They cannot answer:", strong=True), Bullets(supplement.cannot_answer)]
    return blocks or [Paragraph("No limits were recorded, which is itself a fault: ask how this was made.")]


def _versions(supplement: Supplement) -> tuple[tuple[str, str], ...]:
    return tuple(supplement.versions.items())
