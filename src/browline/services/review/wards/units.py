"""Which unit a ward's instruments show, as told by the pattern of their numbers."""

from browline import display
from browline.documents.audit import UnitRow
from browline.store.models import Instrument, Review, Sighting

SHOWN = {"C": "tenths of °C", "F": "tenths of °F", "both": "both units"}


def units_of(review: Review | None, ward: str) -> list[str]:
    """Sentences about the ward's own numbers, or about the instruments the register gives it.

    What is as the register says is counted; what is not is named, with what to do.
    """
    patterns = _patterns(review)
    own = [p for p in patterns if p.type == "ward" and p.subject == ward]
    if own:
        return [_of_ward(p) for p in own]
    home = set(Instrument.objects.filter(ward=ward).values_list("name", flat=True))
    here = [p for p in patterns if p.type == "instrument" and p.subject in home]
    return _of_instruments(here)


def _patterns(review: Review | None) -> tuple[UnitRow, ...]:
    audit = review.document.supplement.audit if review else None
    return audit.units if audit else ()


def _of_ward(p: UnitRow) -> str:
    shows = p.shows
    charted = p.charted.removeprefix("values ")
    if not shows:
        return f"The numbers {charted}: which unit they come from cannot be told yet."
    return f"The numbers {charted} come from {SHOWN[shows]}."


def _of_instruments(here: list[UnitRow]) -> list[str]:
    as_said = {p.subject for p in here if p.shows and p.shows == p.registered}
    odd = [p for p in here if p.shows and p.registered and p.shows != p.registered]
    untold = {p.subject for p in here if not p.shows}
    said = []
    if as_said:
        shows = display.many(len(as_said), "instrument shows", "instruments show")
        said.append(f"By the pattern of their numbers {shows} the unit that the register says.")
    said += [_not_as_said(p) for p in odd]
    if untold:
        said.append(f"Too few readings to tell the unit: {display.listed(sorted(untold))}.")
    return said


def _not_as_said(p: UnitRow) -> str:
    come_from = SHOWN.get(p.shows or "")
    return (
        f"Instrument {p.subject}: its numbers come from {come_from}, the register says °{p.registered}. "
        f"{_to_do(p)}"
    )


def _to_do(p: UnitRow) -> str:
    """Look first; where the last round saw the unit that the charts show, it is the register that is wrong."""
    looked = Sighting.objects.filter(instrument__name=p.subject).exclude(unit="").last()
    if looked is not None and looked.unit == p.shows:
        return f"A round saw °{looked.unit} as well: look at its display and correct the register."
    return (
        "Look at its display, with a spare at hand; if it shows what its numbers say, correct the register."
    )
