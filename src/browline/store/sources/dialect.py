"""Which character parts the cells, found by trying: the one that gives the most rows the same width."""

from collections import Counter
from collections.abc import Sequence

from .records import Dialect, Record, records

# The earlier wins where two part the rows equally well.
CANDIDATES = ",;\t|\x1f\x01^~¦§*#"
ROWS = 400
NAMES = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright bars"}


def dialect(sample: str) -> Dialect:
    """The dialect of a text from its beginning.

    >>> dialect("time;value\\n10:00;36,6\\n11:00;36,9\\n").delimiter
    ';'
    """
    if names_delimiter(sample):
        return _quoting(sample, sample[4])
    scored = [(*_evenness(_cut(sample, Dialect(d))), -i, d) for i, d in enumerate(CANDIDATES) if d in sample]
    return _quoting(sample, max(scored)[-1] if scored and max(scored)[0] >= 0.4 else ",")


def names_delimiter(sample: str) -> bool:
    """Whether the first line is not data but says `sep=` and the delimiter, for a spreadsheet."""
    return sample[:4].lower() == "sep=" and sample[5:6] in ("\r", "\n")


def _quoting(sample: str, delimiter: str) -> Dialect:
    """The delimiter with the quoting that parts the sample most evenly; plain doubled quotes win a tie.

    Unless every line begins and ends with a single quotation mark: then these quote.
    """
    choices = [Dialect(delimiter)]
    if '\\"' in sample:
        choices.append(Dialect(delimiter, '"', "\\"))
    if "'" in sample:
        single = all(line[0] == line[-1] == "'" for line in sample.splitlines()[:-1] if line)
        choices.insert(0 if single else len(choices), Dialect(delimiter, "'"))
    return max(choices, key=lambda c: _evenness(_cut(sample, c)))


def _cut(sample: str, how: Dialect) -> list[Record]:
    """The first records of a sample, without blank lines and without the last, which may be cut short."""
    rows: list[Record] = []
    for record in records(sample, how):
        if record.cells:
            rows.append(record)
        if len(rows) > ROWS:
            break
    return rows[:-1] if len(rows) > 1 else rows


def usual_width(rows: Sequence[Record]) -> tuple[int, int]:
    """The width most rows have, and how many have it; the one met first wins a tie."""
    counted = Counter(len(r.cells) for r in rows).most_common(1)
    return counted[0] if counted else (1, 0)


def _evenness(rows: Sequence[Record]) -> tuple[float, int]:
    """Share of rows with the usual width (0 when that is one cell), rounded so that width settles ties."""
    width, count = usual_width([r for r in rows if len(r.cells) > 1])
    return (round(count / len(rows), 1), width) if rows and width > 1 else (0.0, 1)
