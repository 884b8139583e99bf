"""Which unit a ward's instruments show, as told by the pattern of their numbers."""

from collections.abc import Mapping
from typing import Any

from browline import display
from browline.store.models import Instrument, Sighting

SHOWN = {"C": "tenths of °C", "F": "tenths of °F", "both": "both units"}


def units_of(review: Any, ward: str) -> list[str]:
    """Sentences about the ward's own numbers, or about the instruments the register gives it.

    What is as the register says is counted; what is not is named, with what to do.
    """
    patterns = ((review.supplement if review else {}).get("audit") or {}).get("units", [])
    own = [p for p in patterns if p["type"] == "ward" and p["subject"] == ward]
    if own:
        return [_of_ward(p) for p in own]
    home = set(Instrument.objects.filter(ward=ward).values_list("name", flat=True))
    here = [p for p in patterns if p["type"] == "instrument" and p["subject"] in home]
    return _of_instruments(here)


def _of_ward(p: Mapping[str, Any]) -> str:
    charted = str(p["charted"]).removeprefix("values ")
    if not p["shows"]:
        return f"The numbers {charted}: which unit they come from cannot be told yet."
    return f"The numbers {charted} come from {SHOWN[p['shows']]}."


def _of_instruments(here: list[Mapping[str, Any]]) -> list[str]:
    as_said = {p["subject"] for p in here if p["shows"] and p["shows"] == p["registered"]}
    odd = [p for p in here if p["shows"] and p["registered"] and p["shows"] != p["registered"]]
    untold = {p["subject"] for p in here if not p["shows"]}
    said = []
    if as_said:
        shows = display.many(len(as_said), "instrument shows", "instruments show")
        said.append(f"By the pattern of their numbers {shows} the unit that the register says.")
    said += [
        f"Instrument {p['subject']}: its numbers come from {SHOWN[p['shows']]}, the register says °{p['registered']}. "
        f"{_to_do(p)}"
        for p in odd
    ]
    if untold:
        said.append(f"Too few readings to tell the unit: {display.listed(sorted(untold))}.")
    return said


def _to_do(p: Mapping[str, Any]) -> str:
    """Look first; where the last round saw the unit that the charts show, it is the register that is wrong."""
    looked = Sighting.objects.filter(instrument__name=p["subject"]).exclude(unit="").last()
    if looked is not None and looked.unit == p["shows"]:
        return f"A round saw °{looked.unit} as well: look at its display and correct the register."
    return (
        "Look at its display, with a spare at hand; if it shows what its numbers say, correct the register."
    )
