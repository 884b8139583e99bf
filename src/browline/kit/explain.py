"""The answer in a nurse's words: of each errand what, why and what to do; the count; each ward.

Times are written as they were given, so they are given in the wards' own zone. Nothing is taken away without a spare.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from browline.kit.battery import Battery, Power
from browline.kit.check import CheckDue
from browline.kit.due import Lens, LensDue, Reason
from browline.kit.errands import Errand, Kind
from browline.kit.fleet import Count
from browline.kit.mismatch import MODE_DIFFERENCE_C, Mismatch
from browline.kit.records import Charted, Entry
from browline.kit.wards import WardKit, at
from browline.kit.whereabouts import Place
from browline.quantities import fahrenheit_difference

NEVER_FOUND = "No round has found it yet."


@dataclass(frozen=True)
class Told:
    """An errand in words: what is the matter, in a line; why, each in a sentence; the one thing to do."""

    title: str
    reasons: tuple[str, ...]
    action: str


def told(errand: Errand) -> Told:
    """The errand in words."""
    return _WORDS[errand.kind](errand.about)


def counted(count: Count) -> str:
    """The one count, with its denominator and what stands beside it."""
    if not count.registered:
        return "No instrument is in the register."
    beside = (
        (count.retired, f"{count.retired} retired {_is(count.retired)} not counted."),
        (count.later, f"{count.later} {_is(count.later)} to come into service later."),
        (count.unlisted, f"{count.unlisted} more seen that {_is(count.unlisted)} not in the register."),
    )
    return " ".join([_located(count), *(sentence for number, sentence in beside if number)])


def _located(count: Count) -> str:
    if not count.in_service:
        return "None of the register is in service."
    low, high = (f"{100 * share:.0f}" for share in count.interval)
    return (
        f"{count.located} of {count.in_service} in service are located: {count.present} present, {count.in_use} in "
        f"use; {count.not_located} not located. That is {100 * count.located / count.in_service:.0f} % "
        f"(likely range {low} to {high} %)."
    )


def ward_sentence(kit: WardKit) -> str:
    """How many are ready against the need, in a line."""
    ready = f"{len(kit.ready)} ready"
    if kit.need is None:
        return f"{ready}; how many are needed is not stated"
    return f"{ready} of {kit.need} needed" + (f": {kit.short} short" if kit.short else "")


def forecast(battery: Battery) -> str:
    """What can be said of a battery, in a sentence."""
    if battery.outcome not in (Power.SOON, Power.LASTS):
        return _sentence(battery.outcome.value)
    until = f"to {_day(battery.latest)}" if battery.latest else "to beyond five years"
    said = f"Out at some time from {_day(battery.earliest)} {until}, with 90 chances in 100."
    if battery.fresh:
        return said
    return f"{said} So wide because nobody noted when it was new."


def _setting(m: Mismatch) -> Told:
    shown, registered = (f"°{v}" if m.what == "unit" else v for v in (m.shown, m.registered))
    head = f"{_named(m.entry)}: {m.what} {shown}, registered {registered}"
    if m.what == "unit":
        why = (
            "A reading in the other unit is misread, or charted in a way that looks like another temperature."
        )
        act = f"Set it back to {registered}; where that cannot be done, bring a spare, tag it and send it for a check."
    else:
        f = fahrenheit_difference(MODE_DIFFERENCE_C)
        why = (
            f"Core and oral-equivalent numbers differ by about {MODE_DIFFERENCE_C:.1f} °C ({f:.1f} °F), so the "
            "same forehead reads differently from ward to ward."
        )
        act = (
            "Read the label and the instructions of that build: set the mode back or mend the register's entry. "
            "Until it is settled, bring a spare."
        )
    return Told(head, (f"Seen {_moment(m.seen.time)}{_on(m.seen.ward)}.", why), act)


def _two_places(p: Place) -> Told:
    seen = sorted([*p.elsewhere, *([p.found] if p.found else [])])
    where = " and ".join(f"on {s.ward} at {s.time:%H:%M}" for s in seen)
    return Told(
        f"{p.entry.name}: found in two places on one day",
        (f"Found {where}, {_day(seen[-1].time)}.",),
        "Look at both labels: it may have moved, or two instruments may bear one name.",
    )


def _retired(p: Place) -> Told:
    found = f"Found {_moment(p.found.time)}{_on(p.found.ward)}; " if p.found else ""
    return Told(
        f"{p.entry.name}: retired, but found on a round",
        (f"{found}the register ends {_day(p.entry.end)}.",),
        "Read its label. If it is this one, bring a spare, then take it back; if it serves, mend the register.",
    )


def _missing(p: Place) -> Told:
    found = f"Last found {_moment(p.found.time)}{_on(p.found.ward)}." if p.found else NEVER_FOUND
    looked = (f"Looked for {_moment(p.missed.time)}{_on(p.missed.ward)}.",) if p.missed else ()
    return Told(
        f"{_named(p.entry)}: not located",
        (found, *looked, *_charted(p.charted)),
        "Ask at the next hand-over, and on the wards beside: many have just moved. Lend the ward a spare meanwhile.",
    )


def _charted(charted: Charted | None) -> tuple[str, ...]:
    if charted is None or charted.last is None:
        return ()
    return (f"Last charted {_moment(charted.last)}{_on(charted.ward)}.",)


def _battery(b: Battery) -> Told:
    if b.outcome is Power.NOW and b.looked is not None:
        head = f"{_named(b.entry)}: battery {b.looked.battery}"
        why: tuple[str, ...] = (f"Seen {_moment(b.looked.time)}{_on(b.looked.ward)}.",)
    else:
        head = f"{_named(b.entry)}: battery may run out"
        why = (forecast(b),)
    return Told(
        head,
        (*why, "Too low a voltage blanks the display rather than misreads (common practice)."),
        "Bring a battery, and note on the round that a new one was put in.",
    )


def _lens(d: LensDue) -> Told:
    facts = {
        Lens.NEVER: "No cleaning of its lens is on record.",
        Lens.OVERDUE: f"Last cleaned {_moment(d.last)}; due {_day(d.due)}, {_days(d.overdue)} ago.",
        Lens.DUE_TODAY: f"Last cleaned {_moment(d.last)}; due today.",
        Lens.DIRTY: f"Seen dirty {_moment(d.seen_dirty.time) if d.seen_dirty else ''}.",
    }
    heads = {
        Lens.NEVER: "no lens cleaning on record",
        Lens.OVERDUE: f"lens overdue by {_days(d.overdue)}",
        Lens.DIRTY: "lens seen dirty",
    }
    more = tuple(_sentence(r.value) for r in d.reasons if r is not Reason.DIRTY)
    past = (f"About {d.past:,.0f} readings charted past its date.",) if d.past >= 10 and d.due else ()
    return Told(
        f"{_named(d.entry)}: {heads.get(d.outcome, 'lens due today')}",
        (facts[d.outcome], *more, *past, "A dirty lens reads low."),
        "Clean the lens with alcohol on a swab, as its instructions say; no bleach, no quaternary wipe.",
    )


def _check(c: CheckDue) -> Told:
    last = f"Last checked {_day(c.last)}, {_days(c.age or 0)} ago." if c.last else "No check is on record."
    return Told(
        f"{_named(c.entry)}: check due",
        (last, "A year is typical; its instructions come first."),
        "Bring a spare, send it for a check against a reference, and enter what that shows.",
    )


_WORDS: dict[Kind, Callable[[Any], Told]] = {
    Kind.SETTING: _setting,
    Kind.TWO_PLACES: _two_places,
    Kind.RETIRED: _retired,
    Kind.BATTERY: _battery,
    Kind.MISSING: _missing,
    Kind.LENS: _lens,
    Kind.CHECK: _check,
}


def place_sentence(place: Place) -> str:
    """Where an instrument is, in a sentence."""
    state = _sentence(place.state.value)
    if place.found is None:
        return f"{state} {NEVER_FOUND}"
    away = at(place) != place.entry.ward and place.entry.ward and place.located
    home = f" Its home is {place.entry.ward}." if away else ""
    return f"{state} Last found {_moment(place.found.time)}{_on(place.found.ward)}.{home}"


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."


def _named(entry: Entry) -> str:
    return f"{entry.name} ({entry.ward})" if entry.ward else entry.name


def _on(ward: str) -> str:
    return f" on {ward}" if ward else ""


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _day(when: date | None) -> str:
    return f"{when:%d %b %Y}" if when else ""


def _moment(when: datetime | None) -> str:
    return f"{when:%d %b %Y %H:%M}" if when else ""


def _is(number: int) -> str:
    return "is" if number == 1 else "are"
