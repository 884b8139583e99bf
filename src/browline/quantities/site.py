"""What a row of the catalogue of measuring sites holds, and a way of taking a temperature there."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Way:
    """How the site chooser has a temperature taken: `says` in the chooser and its rules, `card` on cards.

    `rank`: its place among the ways; `touch`: a probe that can carry something away, a scan of the skin, or neither.
    `stored`: its name in the rules that a book keeps, where that is not the name here.
    """

    name: str
    rank: int
    says: str
    card: str
    touch: Literal["contact", "scan", ""] = ""
    stored: str = ""

    @property
    def in_rules(self) -> str:
        """The name under which rules of a book know it."""
        return self.stored or self.name


@dataclass(frozen=True)
class MeasuringSite:
    """One site: `code` as stored with readings, `name` at the desk of questioned readings and in sentences.

    - `charted`: words by which charts mean it and nothing else.
    - `loinc`: codes of body temperatures there. `snomed`: body structures; `snomed_observables`; `snomed_methods`:
      thermometer types and procedures.
    - `core`: a probe inside the body, the reference of others. `own_technique`: a technique of its own that the model
      does not tell from the instrument.
    - `ready`: how it is made ready for one more reading; "" where nothing is asked.
    - `way`: how the chooser has it taken; None where the chooser sends nobody there.
    """

    code: str
    name: str
    charted: tuple[str, ...]
    loinc: tuple[str, ...] = ()
    snomed: tuple[str, ...] = ()
    snomed_observables: tuple[str, ...] = ()
    snomed_methods: tuple[str, ...] = ()
    core: bool = False
    own_technique: bool = False
    ready: str = ""
    way: Way | None = None
