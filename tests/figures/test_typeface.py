"""The shipped typeface: complete for our signs, licensed, small, and read rightly."""

import json

import pytest

from browline.figures import font_folder, printable
from browline.figures.coverage import covered

SIGNS = "°−±–·≥×≤…—’“”◊"
TYPST = """
#set document(title: "Characters")
#set text(font: "Source Sans Pro", fallback: false)
#json(bytes(sys.inputs.said))
"""


def typeset(said: str) -> bytes:
    import typst

    return typst.compile(
        TYPST.encode(),
        font_paths=[str(font_folder())],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"said": json.dumps(said, ensure_ascii=False)},
        pdf_standards=["a-2a"],
    )


def test_our_signs_are_covered():
    assert not set(SIGNS) - covered()


def test_the_typesetter_has_a_glyph_for_every_character_we_call_covered():
    """Oracle: Typst, which refuses archival PDF where a glyph is missing."""
    spoken = [c for c in covered() if c.isprintable() and not c.isspace()]
    assert len(spoken) > 1000
    typeset(" ".join(spoken))


def test_the_typesetter_refuses_what_we_call_uncovered():
    import typst

    assert "小" not in covered()
    with pytest.raises(typst.TypstError, match="could not be displayed"):
        typeset("小")
    typeset(printable("小児科 5"))


def test_it_comes_with_its_licence_and_stays_small():
    files = list(font_folder().iterdir())
    assert "SIL OPEN FONT LICENSE" in (font_folder() / "LICENSE.txt").read_text(encoding="utf-8").upper()
    assert {f.suffix for f in files} >= {".ttf", ".woff2"}
    assert sum(f.stat().st_size for f in files) < 1_000_000
