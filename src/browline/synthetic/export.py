"""The export of the readings: which rows stand in the file, in what order, in which words.

Rows come in the order in which they were keyed. Some are re-sent later; struck-out ones stay with a note.
The site is written in the ward's words, sometimes in an ambiguous one, sometimes not at all.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Flags, Floats, Generator, Ints, Table, Texts, texts
from browline.synthetic.charting import STRUCK, Chart
from browline.synthetic.charting_habits import HOURLY_SHARE, LATE_SHIFTS, LATE_SHIFTS_ODD
from browline.synthetic.reading import House, Latent
from browline.synthetic.roster import Roster
from browline.synthetic.stays import Stays

KEYED_MINUTES = 4.0
HEAPED = 0.25
RE_SENT, RE_SENT_HOURS = 0.004, 6.0
SITE_LEFT_OUT, SITE_LEFT_OUT_ODD, FORM_HALVES = 0.03, 0.18, 0.4
NOTES = texts(("", "comfortable", "after physiotherapy", "after mobilising", "repeat reading", "on oxygen"))
NOTE_SHARES = (0.955, 0.015, 0.008, 0.010, 0.007, 0.005)
STRUCK_NOTES = texts(("struck out: wrong patient", "entered in error"))
METHODS = texts(
    ("infrared scan", "electronic probe", "electronic probe", "infrared ear", "electronic probe", "probe")
)
SITE_WORDS: tuple[tuple[str, ...], ...] = (
    ("Temporal", "Forehead", "TA", "temporal artery", "temporal", "T"),
    ("Oral", "oral", "PO", "mouth"),
    ("Axilla", "ax", "Axillary"),
    ("Tympanic", "Tymp", "Ear", "T"),
    ("Rectal", "PR"),
    ("Bladder", "bladder"),
)
WORD_FALLS = 0.3


@dataclass(frozen=True)
class Export:
    """`table`: the readings as text columns; `reading`: int[rows], which reading stands in each row.

    `re_sent`: by row. `site_left_out`, `on_hour` (time put to a full hour), `late` (keyed after the shift): by
    reading.
    """

    table: Table
    reading: Ints
    re_sent: Flags
    site_left_out: Flags
    on_hour: Flags
    late: Flags


def write_readings(
    latent: Latent, cells: Chart, stays: Stays, house: House, roster: Roster, rng: Generator, habit: Generator
) -> Export:
    """The readings as the hospital's system exports them; the habit of full hours draws from `habit`."""
    clock = house.clock
    on_hour = _on_hour(latent, house, habit)
    charted = np.where(on_hour, np.floor(latent.time + 0.5), _charted_time(latent, rng))
    late = _late(latent, house, roster, rng)
    hours = np.where(late, roster.hours_remaining(latent.time), 0.0)
    entered = charted + hours + rng.exponential(KEYED_MINUTES, len(latent)) / 60.0
    siteless = _siteless(latent, house, rng)
    note = _notes(cells, rng)
    site = np.where(siteless, "", _site_words(latent.site, rng))
    table = {
        "time": clock.written(charted),
        "value": cells.values(),
        "patient": _numbers("7", 7, stays.patient, rng)[latent.stay],
        "stay": _numbers("V", 8, np.arange(len(stays)), rng)[latent.stay],
        "unit": texts(("C", "F"))[cells.unit_f.astype(np.int64)],
        "site": site,
        "method": METHODS[latent.site],
        "instrument": house.fleet.id[latent.instrument],
        "person": house.people.id[latent.person],
        "ward": house.wards.name[latent.ward],
        "care": house.wards.care[latent.ward],
        "age": texts([str(a) for a in range(120)])[stays.age[latent.stay]],
        "entered": clock.written(entered),
        "note": note,
    }
    reading, re_sent = _rows(entered, rng)
    rows = {name: column[reading] for name, column in table.items()}
    return Export(
        table=rows, reading=reading, re_sent=re_sent, site_left_out=siteless, on_hour=on_hour, late=late
    )


def _charted_time(latent: Latent, rng: Generator) -> Floats:
    """The minute of the reading; some first readings are put down to the five minutes before."""
    heaped = (latent.retake_of < 0) & (rng.random(len(latent)) < HEAPED)
    return np.where(heaped, np.floor(latent.time * 12.0 + 1e-6) / 12.0, latent.time)


def _on_hour(latent: Latent, house: House, habit: Generator) -> Flags:
    """Visits of one ward charted at the nearest full hour, those with a retake aside: its time must follow."""
    again = np.zeros(len(latent), dtype=bool)
    again[latent.retake_of[latent.retake_of >= 0]] = True
    # What was charted beside a reading (a probe) has the same time and moves with it.
    alone = (np.diff(latent.stay, prepend=-1) != 0) | (np.diff(latent.time, prepend=-1.0) != 0)
    fits = (latent.ward == house.wards.habits.hourly) & (latent.retake_of < 0) & ~again
    all_fit = np.logical_and.reduceat(fits, np.flatnonzero(alone))
    drawn: Flags = all_fit & (habit.random(len(all_fit)) < HOURLY_SHARE)
    out: Flags = drawn[np.cumsum(alone) - 1]
    return out


def _late(latent: Latent, house: House, roster: Roster, rng: Generator) -> Flags:
    """Readings of shifts that were keyed all together when they ended; one ward has many such shifts."""
    share = np.where(np.arange(len(house.wards)) == house.wards.habits.late, LATE_SHIFTS_ODD, LATE_SHIFTS)
    late = rng.random(roster.team.shape[:2]) < share[:, None]
    out: Flags = late[latent.ward, roster.shift(latent.time)]
    return out


def _siteless(latent: Latent, house: House, rng: Generator) -> Flags:
    """Rows without a site: more on one ward; rarer once the observation form asks for it (see events)."""
    rate = np.where(latent.ward == house.wards.siteless, SITE_LEFT_OUT_ODD, SITE_LEFT_OUT)
    after = latent.time >= house.clock.moment(FORM_HALVES)
    return rng.random(len(latent)) < rate * np.where(after, 0.5, 1.0)


def _site_words(site: Ints, rng: Generator) -> Texts:
    """One of the words for each site, the first ones most often."""
    out = np.empty(len(site), dtype=object)
    for s, words in enumerate(SITE_WORDS):
        falling = WORD_FALLS ** np.arange(len(words))
        rows = np.flatnonzero(site == s)
        out[rows] = texts(words)[rng.choice(len(words), len(rows), p=falling / falling.sum())]
    return out


def _notes(cells: Chart, rng: Generator) -> Texts:
    """Harmless remarks, and why a row was struck out."""
    n = len(cells.tenths)
    note: Texts = NOTES[rng.choice(len(NOTES), n, p=NOTE_SHARES)]
    struck = cells.slip == STRUCK
    note[struck] = STRUCK_NOTES[rng.integers(len(STRUCK_NOTES), size=int(struck.sum()))]
    return note


def _numbers(letter: str, digits: int, whose: Ints, rng: Generator) -> Texts:
    """Identifiers in no order of time: a random number for each of `whose`, after a letter."""
    room = 10 ** (digits - 1)
    number = rng.permutation(int(whose.max()) + 1) + rng.integers(room // 10, room // 2)
    return texts([f"{letter}{number[k]:0{digits - 1}d}" for k in whose])


def _rows(entered: Floats, rng: Generator) -> tuple[Ints, Flags]:
    """Readings in the order keyed, with the re-sent ones a second time some hours later."""
    n = len(entered)
    again = np.flatnonzero(rng.random(n) < RE_SENT)
    sent = np.concatenate([entered, entered[again] + rng.uniform(0.1, RE_SENT_HOURS, len(again))])
    order = np.argsort(sent, kind="stable")
    return np.concatenate([np.arange(n), again])[order], order >= n
