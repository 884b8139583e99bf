"""How a text is laid out, as found from its beginning and used by every pass."""

from dataclasses import dataclass

from .records import Dialect


@dataclass(frozen=True)
class Layout:
    """The layout of a text.

    - `old_mac`: lines end in a lone carriage return.
    - `above`: records up to and with the heading; `offset`: their length in bytes of UTF-8.
    - `expected`: cells in the usual row; the `width` handed on is at least that.
    """

    how: Dialect
    old_mac: bool
    above: int
    offset: int
    expected: int
    headings: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def width(self) -> int:
        """Columns handed on."""
        return len(self.headings)
