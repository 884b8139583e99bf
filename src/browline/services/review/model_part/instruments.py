"""How an instrument reads and how it changes between cleanings of its lens, in words."""

from dataclasses import dataclass

from browline import display
from browline.documents.model import EffectPart, ModelPart
from browline.documents.review import InstrumentRow, ReviewDocument
from browline.quantities.shares import Z95
from browline.services.review.model_part.sites import typical

ON_CLEAN_DAY = "itself on the day its lens was cleaned"


@dataclass(frozen=True)
class Reads:
    """One instrument in words, texts empty where there is nothing to say.

    - `comparator`: against what its offset stands. `drift`: its change over its usual days between cleanings and
      `drift_interval` (95 %), against `ON_CLEAN_DAY`. `after_cleaning`: how much higher it reads just after one.
    - `typical`: a typical reading, where it differs from the average by more than 0.1 °C.
    """

    comparator: str
    drift: str
    drift_interval: str
    drift_a_day: str
    after_cleaning: str
    typical: str
    sinks_beyond: float | None


def reads(document: ReviewDocument, name: str, unit: str) -> Reads | None:
    """The instrument of this name as the review has it; None where it was not compared."""
    row = document.instrument(name)
    if row is None:
        return None
    part = (document.supplement.model or ModelPart()).instruments.get(name, EffectPart())
    change, interval, a_day = drift(row, part, unit)
    return Reads(
        comparator=row.comparator or "",
        drift=change,
        drift_interval=interval,
        drift_a_day=a_day,
        after_cleaning=_after(part, unit),
        typical=typical(row.offset_c, part.typical_c, unit),
        sinks_beyond=part.drift_chance,
    )


def drift(row: InstrumentRow, part: EffectPart, unit: str) -> tuple[str, str, str]:
    """(change over the usual days between cleanings, 95 % interval, change a day); empty where not known."""
    slope, low, high = row.drift_c_per_day, row.drift_low, row.drift_high
    if slope is None or low is None or high is None:
        return "", "", ""
    days = part.drift_days
    a_day = f"{display.slope(slope, unit)} °{unit} a day"
    if days is None:
        return a_day, f"{display.slope(low, unit)} to {display.slope(high, unit)} °{unit} a day", a_day
    verb = "sinks" if slope < 0 else "rises"
    size = display.difference(abs(slope * days), unit).lstrip("+")
    return (
        f"{verb} {size} in {display.many(round(days), 'day')}",
        display.span(low * days, high * days, unit),
        a_day,
    )


def _after(part: EffectPart, unit: str) -> str:
    """The contrast across cleanings with its 95 % interval, from its standard error."""
    step, sd = part.after_cleaning_c, part.after_cleaning_sd_c
    if step is None or sd is None:
        return ""
    half = Z95 * sd
    return (
        f"{display.difference(step, unit)} ({display.span(step - half, step + half, unit)}), "
        "three days after a cleaning"
        " against the three before"
    )
