"""Results about people: only when asked for, for help and never for ranking."""

from collections.abc import Sequence

from browline import display
from browline.documents.review import PersonRow, ReviewDocument
from browline.findings import finding_kind
from browline.services.review.report.document import Block, Grid, Paragraph, Section
from browline.services.review.report.status import Found, is_open, personal, subject

OPENING = finding_kind("technique-support").action
SHARED = (
    "“Who charted it” may be a shared log-in, or someone charting for a colleague. Ask before anything else. "
    "These results are for help, in order of name, and are not a ranking; only those are listed to whom an "
    "observed demonstration should be offered."
)


def people_sections(document: ReviewDocument, findings: Sequence[Found], unit: str) -> list[Section]:
    """Empty unless the review was asked for results by person; then those who could be helped, no one else.

    Where the readings do not look like people's, that is said and nobody is listed.
    """
    if unlike := document.people_not_listed:
        return [Section("Help with technique", (Paragraph(unlike.sentence, strong=True),), new_page=True)]
    rows = document.people or ()
    if not rows:
        return []
    listed = [f for f in findings if is_open(f) and personal(f)]
    names = {subject(f)[1] for f in listed}
    helped = sorted((r for r in rows if r.person in names), key=lambda r: r.person)
    blocks: list[Block] = [Paragraph(OPENING, strong=True), Paragraph(SHARED)]
    blocks.append(Paragraph(f"{display.many(len(rows), 'person', 'people')} compared, {len(helped)} listed."))
    blocks += [Paragraph(f"{f.sentence} {f.action}") for f in listed]
    if helped:
        headings = ("person", "readings", f"difference, °{unit}", "95 % interval")
        lines = tuple(_line(r, unit) for r in helped)
        blocks.append(
            Grid("Difference from colleagues at 37 °C, same wards and sites", headings, lines, (1, 2, 3))
        )
    return [Section("Help with technique", tuple(blocks), new_page=True)]


def _line(r: PersonRow, unit: str) -> tuple[str, ...]:
    name, n = r.person, r.n
    offset = r.offset_c
    if n < display.FEWEST or offset is None:
        return (name, display.count(n), "–", r.reason or "too few to tell")
    size = display.signed(display.in_unit_difference(offset, unit))
    return (name, display.count(n), size, display.span(r.low_c, r.high_c, unit))
