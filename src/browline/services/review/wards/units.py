"""Which unit a ward's instruments show, as told by the pattern of their numbers."""

from browline import display
from browline.documents.audit import UnitRow
from browline.store.models import Instrument, Review, Sighting

SHOWN = {"C": "tenths of °C", "F": "tenths of °F", "both": "both units"}


def unit_sentences(review: Review | None, ward: str) -> list[str]:
    """Sentences about the ward's own numbers, or about the instruments the register gives it.

    What is as the register says is counted; what is not is named, with what to do.
    """
    patterns = _patterns(review)
    ward_patterns = [p for p in patterns if p.type == "ward" and p.subject == ward]
    if ward_patterns:
        return [_ward_sentence(p) for p in ward_patterns]
    home = set(Instrument.objects.filter(ward=ward).values_list("name", flat=True))
    instrument_patterns = [p for p in patterns if p.type == "instrument" and p.subject in home]
    return _instrument_sentences(instrument_patterns)


def _patterns(review: Review | None) -> tuple[UnitRow, ...]:
    audit = review.document.supplement.audit if review else None
    return audit.units if audit else ()


def _ward_sentence(p: UnitRow) -> str:
    shows = p.shows
    charted = p.charted.removeprefix("values ")
    if not shows:
        return f"The numbers {charted}: which unit they come from cannot be told yet."
    return f"The numbers {charted} come from {SHOWN[shows]}."


def _instrument_sentences(patterns: list[UnitRow]) -> list[str]:
    matching = {p.subject for p in patterns if p.shows and p.shows == p.registered}
    odd = [p for p in patterns if p.shows and p.registered and p.shows != p.registered]
    too_few = {p.subject for p in patterns if not p.shows}
    sentences = []
    if matching:
        shows = display.many(len(matching), "instrument shows", "instruments show")
        sentences.append(f"By the pattern of their numbers {shows} the unit that the register says.")
    sentences += [_mismatch(p) for p in odd]
    if too_few:
        sentences.append(f"Too few readings to tell the unit: {display.listed(sorted(too_few))}.")
    return sentences


def _mismatch(p: UnitRow) -> str:
    come_from = SHOWN.get(p.shows or "")
    return (
        f"Instrument {p.subject}: its numbers come from {come_from}, the register says °{p.registered}. "
        f"{_to_do(p)}"
    )


def _to_do(p: UnitRow) -> str:
    """Look first; where the last round saw the unit that the charts show, it is the register that is wrong."""
    sighting = Sighting.objects.filter(instrument__name=p.subject).exclude(unit="").last()
    if sighting is not None and sighting.unit == p.shows:
        return f"A round saw °{sighting.unit} as well: look at its display and correct the register."
    return (
        "Look at its display, with a spare at hand; if it shows what its numbers say, correct the register."
    )
