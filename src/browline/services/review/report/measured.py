"""The page about whether values were measured: wards with something to ask, and what could not be told."""

from collections import Counter
from collections.abc import Sequence

from browline import display
from browline.audit import Outcome
from browline.documents.supplement import Supplement
from browline.services.review.report.document import Block, Grid, Paragraph, Section
from browline.services.review.wards import Answer, Ward
from browline.services.review.wards.compared import unlikely_share
from browline.services.review.wards.from_review import wards_in

TITLE = "Were these values measured?"
FAIR = (
    "Each line is a question to the ward, about the ward and never about a person; a form that offers a value and "
    "missing instruments come first among the reasons."
)
SHARES_OF = (
    "Shares are of the readings that each test could look at, so their numbers differ from test to test and from the "
    "ward's own; for values held just under the fever line the size is the share missing of those due just above it."
)
MOST_UNTOLD = 4


def measured_sections(supplement: Supplement) -> list[Section]:
    """The share unlikely to have been measured, what was seen by ward, and one sentence on what stayed open."""
    wards = [w for w in wards_in(supplement) if not w.few]
    if not wards:
        return []
    positives = [(w, a) for w in wards for a in w.seen]
    blocks: list[Block] = [Paragraph(_share(wards), strong=True)]
    if positives:
        blocks += [Paragraph(FAIR), _grid(positives), Paragraph(SHARES_OF)]
    return [Section(TITLE, (*blocks, Paragraph(_untold(wards))))]


def _share(wards: Sequence[Ward]) -> str:
    share, low, high = unlikely_share(wards)
    n, where = sum(w.n for w in wards), _where(wards)
    if not share:
        return (
            f"In {display.number(n)} readings no value was charted or repeated more often than "
            f"chance brings; {where}."
        )
    span = display.share_span(low, high, n)
    return (
        f"{display.share(share)} ({span}) of {display.number(n)} values are unlikely to have all been "
        f"measured as charted; {where}."
    )


def _where(wards: Sequence[Ward]) -> str:
    """Of how many wards there is something to ask; readings without a ward are on none."""
    named, unnamed = [w for w in wards if w.said], [w for w in wards if not w.said]
    count = sum(bool(w.seen) for w in named)
    has = "has" if count == 1 else "have"
    sentences = (
        [f"{count} of {display.many(len(named), 'ward')} {has} something worth a question"] if named else []
    )
    sentences += [
        f"{'something' if w.seen else 'nothing'} in the readings without a ward is worth a question"
        for w in unnamed
    ]
    return "; ".join(sentences)


def _grid(positives: Sequence[tuple[Ward, Answer]]) -> Grid:
    headings = ("ward", "what was seen", "size", "95 % interval", "readings", "since")
    return Grid("Seen, by ward", headings, tuple(_line(w, a) for w, a in positives), (2, 3, 4))


def _line(ward: Ward, answer: Answer) -> tuple[str, ...]:
    since = _since(answer)
    if answer.effect is None or answer.low is None or answer.high is None:
        return (ward.name, answer.named, "few", "–", display.count(answer.n), since)
    span = display.share_span(answer.low, answer.high, answer.n)
    return (ward.name, answer.named, display.share(answer.effect), span, display.count(answer.n), since)


def _since(answer: Answer) -> str:
    """Since when it is so, or since when it is less so."""
    if answer.turned is None:
        return "no change told"
    return display.day(answer.turned) if answer.since else f"less since {display.day(answer.turned)}"


def _untold(wards: Sequence[Ward]) -> str:
    """One sentence: which tests had too few readings, and on how many wards."""
    few = Counter(a.whether for w in wards for a in w.that(Outcome.TOO_FEW))
    if not few:
        return "Every test that could be asked had readings enough to answer."
    open_ = {a.whether for w in wards if not w.said for a in w.that(Outcome.TOO_FEW)}
    listed = [
        f"{title} ({_on(n - (title in open_), title in open_)})" for title, n in few.most_common(MOST_UNTOLD)
    ]
    unlisted = len(few) - len(listed)
    more = f"; and {unlisted} more" if unlisted else ""
    about = "these wards" if any(w.said for w in wards) else "them"
    return f"Too few to tell, which says nothing for or against {about}: {'; '.join(listed)}{more}."


def _on(wards: int, without: bool) -> str:
    """On how many wards, and whether also among the readings without one."""
    parts = [display.many(wards, "ward")] if wards else []
    return " and ".join(parts + ["readings without a ward"] * without)
