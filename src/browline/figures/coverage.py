"""Which characters the shipped typeface can show, read from the font file itself.

Archival PDF refuses a character without a glyph, and ward names come from anywhere; so paper shows a mark
where the typeface has nothing. Source of the table layout: OpenType specification, `cmap`, format 4.
"""

import struct
from functools import cache
from unicodedata import category

from browline.figures.typeface import font_folder

SUBSTITUTE = "◊"
WHITE = frozenset("\t\n\r ")
INVISIBLE = ("Cc", "Cf", "Mn")


def printable(text: str) -> str:
    """The text with `◊` for each character the typeface cannot show; invisible ones go.

    >>> printable("Ward 5 · 36.6 °C ± 0.2"), printable("小児科")
    ('Ward 5 · 36.6 °C ± 0.2', '◊◊◊')
    """
    glyphs = covered()
    visible = (c for c in text if c in glyphs or c in WHITE or category(c) not in INVISIBLE)
    return "".join(c if c in glyphs or c in WHITE else SUBSTITUTE for c in visible)


@cache
def covered() -> frozenset[str]:
    """Every character the typeface has a glyph for."""
    font = (font_folder() / "SourceSansPro-Regular.ttf").read_bytes()
    cmap = _table(font, b"cmap")
    (count,) = struct.unpack_from(">H", cmap, 2)
    starts = [struct.unpack_from(">HHL", cmap, 4 + 8 * i) for i in range(count)]
    offset_of_table = next(offset for platform, encoding, offset in starts if (platform, encoding) == (3, 1))
    return frozenset(_format_4(cmap[offset_of_table:]))


def _table(font: bytes, name: bytes) -> bytes:
    (count,) = struct.unpack_from(">H", font, 4)
    for i in range(count):
        tag, _, offset, length = struct.unpack_from(">4sLLL", font, 12 + 16 * i)
        if tag == name:
            return font[offset : offset + length]
    raise ValueError(f"the font has no {name!r} table")


def _format_4(subtable: bytes) -> set[str]:
    """Characters of all segments whose glyph is not the missing one."""
    (doubled,) = struct.unpack_from(">H", subtable, 6)
    n = doubled // 2
    ends = struct.unpack_from(f">{n}H", subtable, 14)
    starts = struct.unpack_from(f">{n}H", subtable, 16 + doubled)
    deltas = struct.unpack_from(f">{n}H", subtable, 16 + 2 * doubled)
    offsets = struct.unpack_from(f">{n}H", subtable, 16 + 3 * doubled)
    characters = set()
    for i in range(n):
        for code in range(starts[i], min(ends[i], 0xFFFE) + 1):
            place = 16 + 3 * doubled + 2 * i + offsets[i] + 2 * (code - starts[i])
            glyph = code if offsets[i] == 0 else struct.unpack_from(">H", subtable, place)[0]
            if glyph and (glyph + deltas[i]) & 0xFFFF:
                characters.add(chr(code))
    return characters
