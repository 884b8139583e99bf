"""One reading charted in a Celsius and a Fahrenheit column: one is taken, the other checked (trap 2)."""

from dataclasses import replace

from browline.intake.value_by_range import ValueRead, agree
from browline.intake.values import read_value


def read_value_pair(celsius_text: str, fahrenheit_text: str) -> ValueRead:
    """One reading charted in a Celsius and a Fahrenheit column: one taken, the other checked (trap 2).

    >>> read_value_pair("37.0", "98.6").celsius, read_value_pair("37.0", "99.9").reason
    (37.0, 'units-disagree')
    """
    first, second = read_value(celsius_text, "C"), read_value(fahrenheit_text, "F")
    if first.reason and second.reason:
        return second if first.reason == "no-value" else first
    if first.reason or second.reason:
        taken, second_read = (second, first) if first.reason else (first, second)
        if second_read.reason == "no-value":
            return taken
        return replace(taken, repairs=(*taken.repairs, "one-of-two-units"))
    if not agree(first, second):
        return ValueRead(reason="units-disagree")
    # The column with the repair is the suspicious one; between two sound cells the Celsius one is taken.
    return second if first.repairs and not second.repairs else first
