"""The half page on whether training worked: the verdict first, then figures, doubts, and the months around."""

from browline.documents.charts import AroundRows
from browline.documents.review import ReviewDocument
from browline.services.review.model_part import TrainingTold, training_told
from browline.services.review.report.document import Block, Bullets, Chart, Grid, Paragraph, Section

TITLE = "Did training work?"


def training_sections(document: ReviewDocument, unit: str) -> list[Section]:
    """Whether charting changed after teaching; "no" is an answer."""
    told = training_told(document, unit)
    if told is None:
        return []
    blocks: list[Block] = [Paragraph(told.verdict, strong=True)] if told.verdict else []
    if told.effect:
        blocks += [_facts(told), Bullets(told.why), Paragraph(told.advice)]
    elif told.sentence:
        blocks += [Paragraph(told.sentence), *([Bullets(told.why)] if told.why else [])]
        blocks += [Paragraph(told.advice)] if told.advice else []
    blocks += _picture(told)
    if told.measures:
        blocks.append(_measures(told))
    if told.why or told.effect:
        blocks.append(Bullets(told.beside))
    return [Section(TITLE, tuple(blocks), together=True)]


def _facts(told: TrainingTold) -> Grid:
    rows = {
        "Readings after sign-off": told.effect,
        "95 % interval": told.interval,
        "Compared with": told.comparator,
        "Rests on": told.rests_on,
    }
    return Grid("The measure named beforehand", ("", ""), tuple((k, v) for k, v in rows.items() if v))


def _picture(told: TrainingTold) -> list[Block]:
    if not told.months:
        return [Paragraph(told.months_said)] if told.months_said else []
    chart = Chart("Months before and after sign-off", AroundRows(months=told.months), height=120)
    return [chart, *([Paragraph(told.trend)] if told.trend else [])]


def _measures(told: TrainingTold) -> Grid:
    headings = ("beside it", "change after sign-off", "95 % interval", "luck would do as much")
    rows = tuple((what, change, span, luck or "–") for what, change, span, luck, _ in told.measures)
    return Grid("Looked at beside it, none of them decides; all counted together", headings, rows, (1, 2))
