"""The one typeface of charts, pages and paper: Source Sans Pro, SIL Open Font License (text beside it)."""

from functools import cache
from pathlib import Path

FONT_FAMILY = "Source Sans Pro"


def font_folder() -> Path:
    """Where the typeface lies: TTF for drawing and paper, WOFF2 of the same for web pages."""
    return Path(__file__).parent / "fonts"


@cache
def register() -> None:
    """Let the drawing program measure our typeface, once a process."""
    import vl_convert

    vl_convert.register_font_directory(str(font_folder()))
