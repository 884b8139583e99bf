"""Each task in a nurse's words: what is the matter, why, and the one thing to do.

Times are written as they were given, so they are given in the wards' own zone. Nothing is taken away without a spare.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from browline import display
from browline.instruments.battery import Battery, Power
from browline.instruments.check import CheckDue
from browline.instruments.due import Lens, LensDue, Reason
from browline.instruments.explain import NEVER_FOUND, NO_ROUND, day, forecast, moment, on, sentence
from browline.instruments.mismatch import MODE_DIFFERENCE_C, Mismatch
from browline.instruments.records import Charted, Checked, Entry
from browline.instruments.tasks import Kind, Task
from browline.instruments.whereabouts import Place
from browline.quantities import fahrenheit, fahrenheit_difference

FEWEST_REPORTED = 10


@dataclass(frozen=True)
class TaskText:
    """A task in words: what is the matter, in a line; why, each in a sentence; the one thing to do."""

    title: str
    reasons: tuple[str, ...]
    action: str


def describe_task(task: Task) -> TaskText:
    """The task in words."""
    return _WORDS[task.kind](task.about)


def _setting(m: Mismatch) -> TaskText:
    displayed, registered = (f"°{v}" if m.what == "unit" else v for v in (m.shown, m.registered))
    head = f"{_named(m.entry)}: {m.what} {displayed}, registered {registered}"
    if m.what == "unit":
        why = (
            "A reading in the other unit is misread, or charted in a way that looks like another temperature."
        )
        act = DOUBTED if m.register_doubted else SET_BACK.format(registered=registered)
    else:
        f = fahrenheit_difference(MODE_DIFFERENCE_C)
        why = (
            f"Core and oral-equivalent numbers differ by about "
            f"{display.decimal(MODE_DIFFERENCE_C)} °C ({display.decimal(f)} °F), so the "
            "same forehead reads differently from ward to ward."
        )
        act = (
            "Read the label and the instructions of that build: set the mode back or mend the register's entry. "
            "Until it is settled, bring a spare."
        )
    charts = (f"The charted numbers come from {displayed} too.",) if m.register_doubted else ()
    return TaskText(head, (f"Seen {moment(m.sighting.time)}{on(m.sighting.ward)}.", *charts, why), act)


DOUBTED = (
    "Look at the instrument's display and correct the register: rounds and charts agree against it. Do not change the"
    " instrument's unit because of this entry."
)
SET_BACK = (
    "Set it back to {registered}; where that cannot be done, bring a spare, tag it and send it for a check."
)


def _out_of_limits(c: CheckDue) -> TaskText:
    if c.out is None:
        raise ValueError("a check within limits is no task of this kind")
    error = c.out.error_c
    numbers = () if error is None else (_showed(c.out),)
    conclusion = (f"The conclusion entered: {c.out.result}.",) if c.out.result else ()
    return TaskText(
        f"{_named(c.entry)}: check out of limits{'' if error is None else f', {_off(error)}'}",
        (
            f"Checked {day(c.out.time)}.",
            *numbers,
            *conclusion,
            "It stays here until a check within limits is entered.",
        ),
        "Put a spare in its place and keep it out of use; have it repaired or replaced, then enter the next check.",
    )


def _off(error_c: float) -> str:
    size = f"{display.decimal(abs(error_c), 2)} °C ({display.decimal(abs(fahrenheit_difference(error_c)), 2)} °F)"
    return f"it read {size} {'high' if error_c > 0 else 'low'}"


def _showed(c: Checked) -> str:
    displayed, reference = (
        f"{display.decimal(value, 2)} °C ({display.decimal(fahrenheit(value), 2)} °F)"
        for value in (c.shown_c or 0.0, c.reference_c or 0.0)
    )
    return f"It showed {displayed} where the reference showed {reference}."


def _two_places(p: Place) -> TaskText:
    sightings = sorted([*p.elsewhere, *([p.last_sighting] if p.last_sighting else [])])
    where = " and ".join(f"on {s.ward} at {display.time_of_day(s.time)}" for s in sightings)
    return TaskText(
        f"{p.entry.name}: found in two places on one day",
        (f"Found {where}, {day(sightings[-1].time)}.",),
        "Look at both labels: it may have moved, or two instruments may bear one name.",
    )


def _retired(p: Place) -> TaskText:
    latest = f"Found {moment(p.last_sighting.time)}{on(p.last_sighting.ward)}; " if p.last_sighting else ""
    return TaskText(
        f"{p.entry.name}: retired, but found on a round",
        (f"{latest}the register ends {day(p.entry.end)}.",),
        "Read its label. If it is this one, bring a spare, then take it back; if it serves, mend the register.",
    )


def _missing(p: Place) -> TaskText:
    latest = (
        f"Last found {moment(p.last_sighting.time)}{on(p.last_sighting.ward)}."
        if p.last_sighting
        else NEVER_FOUND
    )
    search = (f"Looked for {moment(p.missed.time)}{on(p.missed.ward)}.",) if p.missed else ()
    return TaskText(
        f"{_named(p.entry)}: not located",
        (latest, *search, *_charted(p.charted)),
        "Ask at the next hand-over, and on the wards beside: many have just moved. Lend the ward a spare meanwhile.",
    )


def _no_round(p: Place) -> TaskText:
    return TaskText(
        f"{_named(p.entry)}: no round yet",
        (NO_ROUND, *_charted(p.charted)),
        "Walk the first round of instruments: only a round says where each is.",
    )


def _charted(charted: Charted | None) -> tuple[str, ...]:
    if charted is None or charted.last is None:
        return ()
    return (f"Last charted {moment(charted.last)}{on(charted.ward)}.",)


def _battery(b: Battery) -> TaskText:
    if b.outcome is Power.NOW and b.last_look is not None:
        head = f"{_named(b.entry)}: battery {b.last_look.battery}"
        why: tuple[str, ...] = (f"Seen {moment(b.last_look.time)}{on(b.last_look.ward)}.",)
    else:
        head = f"{_named(b.entry)}: battery may run out"
        why = (forecast(b),)
    return TaskText(
        head,
        (*why, "Below its voltage limit the display stays off (taught, a claim, no source found)."),
        "Bring a battery, and note on the round that a new one was put in.",
    )


def _lens(d: LensDue) -> TaskText:
    facts = {
        Lens.NEVER: "No cleaning of its lens is on record.",
        Lens.OVERDUE: f"Last cleaned {moment(d.last)}; due {day(d.due)}, {_days(d.overdue)} ago.",
        Lens.DUE_TODAY: f"Last cleaned {moment(d.last)}; due today.",
        Lens.DIRTY: f"Seen dirty {moment(d.seen_dirty.time) if d.seen_dirty else ''}.",
    }
    heads = {
        Lens.NEVER: "no lens cleaning on record",
        Lens.OVERDUE: f"lens overdue by {_days(d.overdue)}",
        Lens.DIRTY: "lens seen dirty",
    }
    more = tuple(sentence(r.value) for r in d.reasons if r is not Reason.DIRTY)
    return TaskText(
        f"{_named(d.entry)}: {heads.get(d.outcome, 'lens due today')}",
        (facts[d.outcome], *more, *_past(d), "A dirty lens reads low."),
        AS_FOUND if Reason.FINDING in d.reasons else CLEAN,
    )


CLEAN = "Clean the lens with what its instructions name; other agents cause lens damage."
# What a check shows after cleaning says nothing of what was charted before it.
AS_FOUND = (
    "Do not clean it yet: put a spare in its place, keep it out of use and have it checked as found. Then clean the"
    " lens with what its instructions name (other agents cause lens damage), and check it again."
)


def _past(d: LensDue) -> tuple[str, ...]:
    """What the charts say of readings past the date: a count where they reach, else the usual number, named so."""
    if d.charted is None:
        return ()
    if d.charted.counted is not None:
        n = d.charted.counted
        charted = "1 reading was" if n == 1 else f"{display.number(n)} readings were"
        return (
            (f"{charted} charted with it past its date, in charts up to {day(d.charted.charts_end)}.",)
            if n
            else ()
        )
    about = d.charted.per_day * d.overdue
    usual = f"At its usual {display.decimal(d.charted.per_day, 0)} readings a day,"
    usual += f" about {display.number(round(about))} since"
    return (
        (f"{usual}; the charts end {day(d.charted.charts_end)}, before its date.",)
        if about >= FEWEST_REPORTED
        else ()
    )


def _check(c: CheckDue) -> TaskText:
    last = f"Last checked {day(c.last)}, {_days(c.age or 0)} ago." if c.last else "No check is on record."
    return TaskText(
        f"{_named(c.entry)}: check due",
        (last, "A year is typical; its instructions come first."),
        "Bring a spare, send it for a check against a reference, and enter what that shows.",
    )


_WORDS: dict[Kind, Callable[[Any], TaskText]] = {
    Kind.OUT_OF_LIMITS: _out_of_limits,
    Kind.SETTING: _setting,
    Kind.TWO_PLACES: _two_places,
    Kind.RETIRED: _retired,
    Kind.BATTERY: _battery,
    Kind.MISSING: _missing,
    Kind.NO_ROUND: _no_round,
    Kind.LENS: _lens,
    Kind.CHECK: _check,
}


def _named(entry: Entry) -> str:
    return f"{entry.name} ({entry.ward})" if entry.ward else entry.name


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"
