"""What a cell of a closed list means: kind of care, mode, kind of thermometer, outcome, part.

The words of each choice lie in the row of the column (`browline.columns`): common practice, no source. A word we do
not know is None: the cell counts as blank, and its row is taken.
"""

from browline.columns import KINDS, column
from browline.intake.non_numeric_words import plain

# Ticks and crosses as spreadsheets show them (practice, trap 13).
_YES = ("yes", "y", "1", "x", "true", "t", "done", "ok", "✓", "✔", "☑", "√", "🗸", "+", "p", "present")
_NO = ("no", "n", "0", "false", "f", "not done", "✗", "✘", "☐", "-", "absent", "dna", "did not attend")

_WORDS = {
    (kind, c.name): {choice: {" ".join(w.split()) for w in ws.split(",")} for choice, ws in c.words.items()}
    for kind, columns in KINDS.items()
    for c in columns
}


def read_closed(kind: str, name: str, text: str) -> str | None:
    """The choice of a closed column that a cell means; None where it is blank or means none.

    >>> read_closed("readings", "care", "ICU"), read_closed("sessions", "outcome", "✓")
    ('intensive', 'attended')
    """
    cell = plain(text).strip(" .:;")
    closed = column(kind, name)
    if cell in closed.choices:
        return cell
    if closed.tick and (ticked := read_tick(text)) is not None:
        return closed.tick if ticked else None
    for choice, words in _WORDS[kind, name].items():
        if cell in words or cell.replace("-", " ") in words:
            return choice
    return None


def read_tick(text: str) -> bool | None:
    """Whether a cell is ticked (True), crossed (False) or something else (None).

    >>> read_tick("Y"), read_tick("x"), read_tick("✓"), read_tick("no"), read_tick("12 March")
    (True, True, True, False, None)
    """
    cell = plain(text)
    if text.strip() in _YES or cell in _YES:
        return True
    return False if text.strip() in _NO or cell in _NO else None
