"""The answer in a nurse's words: the count, each ward, where an instrument is, how long its battery may last.

Times are written as they were given, so they are given in the wards' own zone. Tasks are worded in `task_text`.
"""

from datetime import date, datetime

from browline import display
from browline.instruments.battery import Battery, Power
from browline.instruments.fleet import Count
from browline.instruments.wards import WardKit, current_ward
from browline.instruments.whereabouts import Place

NEVER_FOUND = "No round has found it yet."
NO_ROUND = "No round has been made yet."


def counted(count: Count) -> str:
    """The one count, with its denominator and what stands beside it."""
    if not count.registered:
        return "No instrument is in the register."
    beside = (
        (count.retired, f"{count.retired} retired {is_or_are(count.retired)} not counted."),
        (count.later, f"{count.later} {is_or_are(count.later)} to come into service later."),
        (count.unlisted, f"{count.unlisted} more seen that {is_or_are(count.unlisted)} not in the register."),
    )
    return " ".join([_located(count), *(sentence for number, sentence in beside if number)])


def _located(count: Count) -> str:
    if not count.in_service:
        return "None of the register is in service."
    if not count.walked:
        serving = f"{count.in_service} {is_or_are(count.in_service)} in service."
        return f"{serving} {NO_ROUND} Where they are is not known."
    return (
        f"{count.located} of {count.in_service} in service are located: {count.present} present, {count.in_use} in "
        f"use; {count.not_located} not located. That is {display.percent(count.located / count.in_service)}."
    )


def ward_sentence(kit: WardKit) -> str:
    """How many are ready against the need, in a line."""
    if not kit.walked:
        return f"no round yet; {'how many are needed is not stated' if kit.need is None else f'{kit.need} needed'}"
    ready = f"{len(kit.ready)} ready"
    if kit.need is None:
        return f"{ready}; how many are needed is not stated"
    return f"{ready} of {kit.need} needed" + (f": {kit.short} short" if kit.short else "")


def forecast(battery: Battery) -> str:
    """What can be said of a battery, in a sentence."""
    if battery.outcome not in (Power.SOON, Power.LASTS):
        return sentence(battery.outcome.value)
    until = f"to {day(battery.latest)}" if battery.latest else "to beyond five years"
    words = f"Out at some time from {day(battery.earliest)} {until}, with 90 chances in 100."
    if battery.fresh:
        return words
    return f"{words} So wide because nobody noted when it was new."


def place_sentence(place: Place) -> str:
    """Where an instrument is, in a sentence."""
    if not place.walked:
        return NO_ROUND
    state = sentence(place.state.value)
    if place.last_sighting is None:
        return f"{state} {NEVER_FOUND}"
    away = current_ward(place) != place.entry.ward and place.entry.ward and place.located
    home = f" Its home is {place.entry.ward}." if away else ""
    return f"{state} Last found {moment(place.last_sighting.time)}{on(place.last_sighting.ward)}.{home}"


def sentence(words: str) -> str:
    """A few words as a sentence."""
    return f"{words[0].upper()}{words[1:]}."


def on(ward: str) -> str:
    """Where, if that is said."""
    return f" on {ward}" if ward else ""


def day(when: date | None) -> str:
    """A date that cannot be misread."""
    return display.day(when) if when else ""


def moment(when: datetime | None) -> str:
    """A date and time, as they were given."""
    return display.moment(when) if when else ""


def is_or_are(number: int) -> str:
    """The verb that fits a number."""
    return "is" if number == 1 else "are"
