"""Probabilities as natural frequencies, never said to be certain."""

from browline.display.numbers import in_a_hundred

# Words for a probability: the calibrated scale of the IPCC guidance note on uncertainty (Mastrandrea et
# al. 2010, table 1), from memory, with "as likely as not" kept for its middle.
CHANCES = (
    (0.99, "virtually certain"),
    (0.95, "extremely likely"),
    (0.90, "very likely"),
    (0.66, "likely"),
    (0.33, "as likely as not"),
    (0.10, "unlikely"),
    (0.0, "very unlikely"),
)
UNKNOWN = "cannot be said"


def chance(probability: float | None) -> str:
    """A probability as a natural frequency, never said to be certain.

    >>> chance(0.999), chance(0.97), chance(None)
    ('more than 99 in 100', '97 in 100', 'cannot be said')
    """
    if probability is None:
        return UNKNOWN
    return _certain(probability) or in_a_hundred(probability)


def how_sure(probability: float | None) -> str:
    """A probability in words and as a natural frequency.

    >>> how_sure(0.97)
    'extremely likely (97 in 100)'
    """
    if probability is None:
        return UNKNOWN
    return f"{next(word for least, word in CHANCES if probability >= least)} ({chance(probability)})"


def rough_chance(probability: float) -> str:
    """A probability that rests on rough assumptions, in words that nobody takes for more than it is.

    >>> rough_chance(0.72), rough_chance(0.004), rough_chance(0.03)
    ('about 7 in 10', 'fewer than 1 in 100', 'about 3 in 100')
    """
    if end := _certain(probability):
        return end
    if probability < 0.095 or probability > 0.905:
        return f"about {round(100 * probability)} in 100"
    return f"about {round(10 * probability)} in 10"


def _certain(probability: float) -> str:
    """What stands for a probability so near 0 or 1 that its figure would sound certain; empty between."""
    if probability > 0.99:
        return "more than 99 in 100"
    return "fewer than 1 in 100" if probability < 0.01 else ""
