"""The half page on whether training worked: the verdict first, then figures, doubts, and the months around."""

from browline.documents.charts import AroundRows
from browline.documents.review import ReviewDocument
from browline.services.review.model_part import TrainingWords, training_words
from browline.services.review.report.document import Block, Bullets, Chart, Grid, Paragraph, Section

TITLE = "Did training work?"


def training_sections(document: ReviewDocument, unit: str) -> list[Section]:
    """Whether charting changed after teaching; "no" is an answer."""
    words = training_words(document, unit)
    if words is None:
        return []
    blocks: list[Block] = [Paragraph(words.verdict, strong=True)] if words.verdict else []
    if words.effect:
        blocks += [_facts(words), Bullets(words.why), Paragraph(words.advice)]
    elif words.sentence:
        blocks += [Paragraph(words.sentence), *([Bullets(words.why)] if words.why else [])]
        blocks += [Paragraph(words.advice)] if words.advice else []
    blocks += _picture(words)
    if words.measures:
        blocks.append(_measures(words))
    if words.why or words.effect:
        blocks.append(Bullets(words.beside))
    return [Section(TITLE, tuple(blocks), together=True)]


def _facts(words: TrainingWords) -> Grid:
    rows = {
        "Readings after sign-off": words.effect,
        "95 % interval": words.interval,
        "Compared with": words.comparator,
        "Rests on": words.rests_on,
    }
    return Grid("The measure named beforehand", ("", ""), tuple((k, v) for k, v in rows.items() if v))


def _picture(words: TrainingWords) -> list[Block]:
    if not words.months:
        return [Paragraph(words.months_said)] if words.months_said else []
    chart = Chart("Months before and after sign-off", AroundRows(months=words.months), height=120)
    return [chart, *([Paragraph(words.trend)] if words.trend else [])]


def _measures(words: TrainingWords) -> Grid:
    headings = ("beside it", "change after sign-off", "95 % interval", "luck would do as much")
    rows = tuple((label, change, span, luck or "–") for label, change, span, luck, _ in words.measures)
    return Grid("Looked at beside it, none of them decides; all counted together", headings, rows, (1, 2))
