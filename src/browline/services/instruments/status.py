"""How the instruments stand today: the book's records given to the room kit.

standing(book, now) -> kit.Fleet
"""

from datetime import datetime, timedelta

from browline.instruments import Checked, Cleaned, Entry, Fleet, Problem, Sighted, due_days, past_from, solve
from browline.services.book.preferences import choice
from browline.services.instruments.charts import charted_lately, charted_since, charts_end
from browline.services.instruments.par_levels import battery_readings, needed
from browline.store.folder import Book
from browline.store.models import Check, Cleaning, Finding, Instrument, Sighting, last_whole_review

# A phone's clock may be a little ahead of ours.
AHEAD = timedelta(minutes=10)
SHOWED = ("reference", "shown", "result")
WORDS = ("ward", "lens", "mode", "unit", "battery")


def standing(book: Book, now: datetime) -> Fleet:
    """Where every instrument is and what is to do; `now` in the hospital's zone."""
    return solve(problem(book, now))


def problem(book: Book, now: datetime) -> Problem:
    """What the book says of its instruments up to now, with every time in the zone of `now`.

    What is dated later was entered while a clock was ahead: it would hide every later round, cleaning and check.
    """

    def here(time: datetime) -> datetime:
        return time.astimezone(now.tzinfo)

    entries = ("name", "ward", "unit", "mode", "kind", "model", "start", "end", "listed")
    seen = Sighting.objects.filter(time__lte=now + AHEAD).values_list(
        "instrument__name", "time", "state", *WORDS
    )
    cleaned = Cleaning.objects.filter(time__lte=now + AHEAD).values_list("instrument__name", "time", "part")
    checked = Check.objects.filter(time__lte=now + AHEAD).values_list("instrument__name", "time", *SHOWED)
    flagged = Finding.objects.open().filter(subject_type="instrument")
    cleanings = tuple(Cleaned(name, here(time), part) for name, time, part in cleaned)
    due = due_days(cleanings, choice("clean_days"))
    return Problem(
        now=now,
        register=tuple(Entry(**row) for row in Instrument.objects.values(*entries)),
        sightings=tuple(
            Sighted.from_words(name, here(time), state, **dict(zip(WORDS, looked, strict=True)))
            for name, time, state, *looked in seen
        ),
        cleanings=cleanings,
        checks=tuple(
            Checked(instrument=name, time=here(time), reference_c=reference, shown_c=shown, result=result)
            for name, time, reference, shown, result in checked
        ),
        charted_units=charted_units(),
        charted=charted_lately(book, now.tzinfo),
        charts_end=charts_end(book, now.tzinfo),
        charted_past=charted_since(book, {name: past_from(day, now.tzinfo) for name, day in due.items()}),
        need=needed(),
        flagged=frozenset(flagged.values_list("subject_id", flat=True)),
        clean_days=choice("clean_days"),
        locate_days=choice("locate_days"),
        battery_readings=battery_readings(),
    )


def charted_units() -> dict[str, str]:
    """The unit that each instrument's charted numbers come from, by the last whole review, where they can tell."""
    last = last_whole_review()
    return last.charted_units if last else {}
