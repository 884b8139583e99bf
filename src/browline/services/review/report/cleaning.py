"""How instruments change between cleanings of the lens: those whose cleanings are known, by name."""

from browline import display
from browline.documents.model import EffectPart, ModelPart
from browline.documents.review import ReviewDocument
from browline.services.review.model_part.instruments import ON_CLEAN_DAY, drift
from browline.services.review.report.document import Grid, Paragraph, Section

TITLE = "Change between cleanings of the lens"


def cleaning_sections(document: ReviewDocument, unit: str) -> list[Section]:
    """Each instrument's change over its usual days between cleanings, against itself on the day of one."""
    parts = (document.supplement.model or ModelPart()).instruments
    known = [r for r in document.instruments if r.drift_c_per_day is not None and r.n >= display.FEWEST]
    if not known:
        return []
    lines = tuple(
        (r.instrument, display.count(r.n), *drift(r, parts.get(r.instrument, EffectPart()), unit))
        for r in known
    )
    headings = ("instrument", "readings", "change", "95 % interval", "a day")
    paragraph = Paragraph(
        f"Compared with {ON_CLEAN_DAY}, over the days that its lens usually goes without cleaning. One that is not"
        " listed has too few readings with a known cleaning before them."
    )
    return [Section(TITLE, (paragraph, Grid(TITLE, headings, lines, (1, 3, 4))), level=3)]
