"""Do the values of a file look like people's temperatures, and as they were charted? If not, stop with their picture.

Judged over the whole file: where the numbers lie, how many cannot be a body's, how many had to be mended. Common
practice, no source: the limits leave room for cooled, newborn, anaesthetised and feverish patients, for whole
degrees and for single instruments.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from browline import display
from browline.errors import Doubted, InputRefused, NotPeoples

# Another unit, a lost point, one of two units: what was meant had to be worked out. Changes of form are none.
MENDED = ("unit-put-right", "lost-point", "one-of-two-units")
CANNOT_BE = ("implausible", "unit-unknown")
EDGES = (30.0, 35.0, 36.0, 37.0, 38.0, 40.0, 42.5)

_MENDED_SHARE, _MENDED_LEAST = 0.1, 3
_LEAST, _SURE, _MANY = 20, 40, 200  # numbers to be asked about; to be refused; to be called alike
_CANNOT_SHARE, _FAR_SHARE = 0.5, 0.1
_MIDDLE = (31.0, 40.5)
_NARROWEST = 0.4


@dataclass(frozen=True)
class Picture:
    """The numbers of a file: how many read as temperatures lie in each band of `EDGES` (°C), how many `cannot` be a
    body's, how many were `mended`; `middle` is the median and `low`, `high` hold 96 of 100 (°C; 0 where none)."""

    bands: tuple[int, ...]
    cannot: int
    mended: int
    low: float
    middle: float
    high: float

    @property
    def read(self) -> int:
        """How many numbers were read as temperatures."""
        return sum(self.bands)

    def lines(self) -> tuple[tuple[str, int], ...]:
        """The picture, a band and its count at a time."""
        between = [f"{a:g} to {b:g} °C" for a, b in pairwise(EDGES)]
        names = (f"under {EDGES[0]:g} °C", *between, f"over {EDGES[-1]:g} °C")
        return (*zip(names, self.bands, strict=True), ("no body's temperature", self.cannot))


def unlike_people(picture: Picture) -> str:
    """Why the numbers are not people's temperatures; "" where they may be.

    >>> unlike_people(Picture((0, 0, 10, 60, 25, 5, 0, 0), 2, 0, 35.4, 36.8, 38.6))
    ''
    """
    if picture.read + picture.cannot < _LEAST:
        return ""
    if picture.cannot > _CANNOT_SHARE * (picture.read + picture.cannot):
        numbers = (
            f"{display.number(picture.cannot)} of {display.number(picture.read + picture.cannot)} numbers"
        )
        return f"{numbers} cannot be a body's temperature."
    far = picture.bands[0] + picture.bands[-1]
    if far > _FAR_SHARE * picture.read:
        return (
            f"{display.number(far)} of {display.number(picture.read)} values"
            f" lie under {EDGES[0]:g} or over {EDGES[-1]:g} °C."
        )
    if not _MIDDLE[0] <= picture.middle <= _MIDDLE[1]:
        return (
            f"Half of the {display.number(picture.read)} values"
            f" lie on one side of {display.decimal(picture.middle)} °C."
        )
    if picture.read >= _MANY and picture.high - picture.low < _NARROWEST:
        return (
            f"Nearly all {display.number(picture.read)} values"
            f" lie between {display.decimal(picture.low)} and {display.decimal(picture.high)} °C."
        )
    return ""


def much_mended(picture: Picture) -> str:
    """What was mended, where that is more than a tenth of the values; "" where it is not.

    >>> much_mended(Picture((0, 0, 0, 60, 40, 0, 0, 0), 0, 11, 36.1, 36.9, 37.8))[:45]
    '11 of 100 values were taken only after a mend'
    """
    if picture.mended < _MENDED_LEAST or picture.mended <= _MENDED_SHARE * picture.read:
        return ""
    return (
        f"{display.number(picture.mended)} of {display.number(picture.read)} values"
        " were taken only after a mend: in the other unit than the file"
        " says, without a decimal point, or from one of two columns."
    )


def doubt(picture: Picture) -> InputRefused | None:
    """The stop for a file of this picture; None where it may go on.

    Many values unlike people's are refused. A few, or many mended ones, are asked about.
    """
    unlike, mended = unlike_people(picture), much_mended(picture)
    if unlike and picture.read + picture.cannot >= _SURE:
        return NotPeoples(unlike, picture.lines())
    return Doubted(unlike or mended, picture.lines()) if unlike or mended else None


def band_counts(values: Sequence[float]) -> tuple[int, ...]:
    """How many values lie in each band, the lower edge belonging to the band.

    >>> band_counts([29.9, 30.0, 36.6, 42.5])
    (1, 1, 0, 1, 0, 0, 0, 1)
    """
    places = [sum(value >= edge for edge in EDGES) for value in values]
    return tuple(places.count(place) for place in range(len(EDGES) + 1))
