"""How instruments change between cleanings of the lens: those whose cleanings are known, by name."""

from collections.abc import Sequence

from browline import display
from browline.services.review.model_part.instruments import ON_CLEAN_DAY, drift
from browline.services.review.model_rows import ModelPart
from browline.services.review.report.document import Grid, Paragraph, Section
from browline.services.review.rows import InstrumentRow
from browline.services.review.supplement_rows import Supplement

TITLE = "Change between cleanings of the lens"


def cleaning_sections(rows: Sequence[InstrumentRow], supplement: Supplement, unit: str) -> list[Section]:
    """Each instrument's change over its usual days between cleanings, against itself on the day of one."""
    model: ModelPart = supplement.get("model") or {}
    kept = model.get("instruments") or {}
    known = [r for r in rows if r.get("drift_c_per_day") is not None and r["n"] >= display.FEWEST]
    if not known:
        return []
    lines = tuple(
        (str(r["instrument"]), display.count(r["n"]), *drift(r, kept.get(str(r["instrument"])) or {}, unit))
        for r in known
    )
    headings = ("instrument", "readings", "change", "95 % interval", "a day")
    said = Paragraph(
        f"Compared with {ON_CLEAN_DAY}, over the days that its lens usually goes without cleaning. One that is not"
        " listed has too few readings with a known cleaning before them."
    )
    return [Section(TITLE, (said, Grid(TITLE, headings, lines, (1, 3, 4))), level=3)]
