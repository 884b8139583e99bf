"""How an instrument reads and how it changes between cleanings of its lens, in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from browline import display
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


def reads(result: Mapping[str, Any], supplement: Mapping[str, Any], name: str, unit: str) -> Reads | None:
    """The instrument of this name as the review has it; None where it was not compared."""
    row = next((i for i in result.get("instruments") or [] if i["instrument"] == name), None)
    if row is None:
        return None
    kept = ((supplement.get("model") or {}).get("instruments") or {}).get(name) or {}
    change, interval, a_day = drift(row, kept, unit)
    return Reads(
        str(row.get("comparator") or ""),
        change,
        interval,
        a_day,
        _after(kept, unit),
        typical(row.get("offset_c"), kept.get("typical_c"), unit),
        kept.get("drift_chance"),
    )


def drift(row: Mapping[str, Any], kept: Mapping[str, Any], unit: str) -> tuple[str, str, str]:
    """(change over the usual days between cleanings, 95 % interval, change a day); empty where not known."""
    slope, low, high = (row.get(k) for k in ("drift_c_per_day", "drift_low", "drift_high"))
    if slope is None or low is None or high is None:
        return "", "", ""
    days = kept.get("drift_days")
    a_day = f"{display.in_unit_difference(slope, unit):+.3f} °{unit} a day".replace("-", "−")
    if days is None:
        return a_day, f"{_three(low, unit)} to {_three(high, unit)} °{unit} a day", a_day
    verb = "sinks" if slope < 0 else "rises"
    size = display.difference(abs(slope * days), unit).lstrip("+")
    return (
        f"{verb} {size} in {display.many(round(days), 'day')}",
        display.span(low * days, high * days, unit),
        a_day,
    )


def _three(value: float, unit: str) -> str:
    return f"{display.in_unit_difference(value, unit):+.3f}".replace("-", "−")


def _after(kept: Mapping[str, Any], unit: str) -> str:
    """The contrast across cleanings with its 95 % interval, from its standard error."""
    step, sd = kept.get("after_cleaning_c"), kept.get("after_cleaning_sd_c")
    if step is None or sd is None:
        return ""
    half = Z95 * sd
    return (
        f"{display.difference(step, unit)} ({display.span(step - half, step + half, unit)}), "
        "three days after a cleaning"
        " against the three before"
    )
