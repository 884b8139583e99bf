"""`browline sample`: how many charts to look at by hand, which ones, and how sure the result is."""

import csv
import sys
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from browline import display
from browline.audit.sample import FEWEST_STAND_INS, interval
from browline.cli.arguments import check_folder, day
from browline.errors import NotUnderstood
from browline.services.review.sampling import HEADINGS, LOOK_FOR, draw_sample, table
from browline.store.book import default_folder, existing_book, open_book


def sample(
    *,
    book: Path | None = None,
    precision: float | None = None,
    expected: float | None = None,
    count: int | None = None,
    ward: str | None = None,
    by_ward: bool = False,
    since: str | None = None,
    until: str | None = None,
    seed: int | None = None,
    csv_to: Annotated[Path | None, Parameter(name="--csv")] = None,
    found: int | None = None,
    of: int | None = None,
    population: int | None = None,
) -> None:
    """Draw charted readings to look at by hand, or say how sure the share found in them is.

    Parameters
    ----------
    book
        the book's folder.
    precision
        how near the share should be known: 0.05 is give or take five points (0.1 when not said).
    expected
        the share expected, where you have an idea (0.5, the safe one, when not said).
    count
        how many charts, instead of a precision.
    ward
        of this ward only.
    by_ward
        share the list over the wards in proportion to their readings.
    since
        first day to draw from, as 2026-03-01.
    until
        last day to draw from.
    seed
        the number that fixes the list; the same number gives the same list.
    csv_to
        write the list here, with an empty column for the answers.
    found
        how many of the charts looked at met what you looked for; with --of, prints the interval and draws
        nothing, so none of the options above belongs beside it.
    of
        how many were looked at.
    population
        with --found and --of: how many the list was drawn from.
    """
    if found is not None or of is not None or population is not None:
        drawing = {
            "--book": book is not None,
            "--precision": precision is not None,
            "--expected": expected is not None,
            "--count": count is not None,
            "--ward": ward is not None,
            "--by-ward": by_ward,
            "--since": since is not None,
            "--until": until is not None,
            "--seed": seed is not None,
            "--csv": csv_to is not None,
        }
        _check_apart([option for option, is_given in drawing.items() if is_given])
        print(answer(found, of, population))
        return

    expected = 0.5 if expected is None else expected
    check_folder(csv_to)
    _check(precision, expected, count, seed)
    drawn = draw_sample(
        open_book(existing_book(book or default_folder())),
        half_width=0.1 if precision is None else precision,
        expected=expected,
        count=count,
        ward=ward,
        by_ward=by_ward,
        since=_day("--since", since),
        until=_day("--until", until),
        seed=seed,
    )
    _show(drawn, expected, ward, by_ward)
    if csv_to is None:
        _show_list(drawn)
    _show_next(drawn)
    if csv_to is not None:
        csv_to.write_text(_as_csv(drawn), encoding="utf-8-sig", newline="")
        print(f"wrote {csv_to}", file=sys.stderr)


def answer(count: int | None, sample_size: int | None, population: int | None) -> str:
    """The share found with its 95 % interval, in a sentence."""
    if (
        count is None
        or sample_size is None
        or not 0 <= count <= sample_size
        or sample_size < 1
        or (population or sample_size) < sample_size
    ):
        raise NotUnderstood(
            "The result was not understood.",
            "It needs how many met what you looked for and how many were looked at, the first no more than the second.",
            "Write for example --found 27 --of 30, and --population with the number the list was drawn from.",
        )
    if sample_size == population:
        return (
            f"{count} of {sample_size} met what you looked for; all were looked at: "
            f"{display.percent(count / sample_size)}, no interval is needed for these."
        )
    low, high = interval(count, sample_size, population)
    whole = f"all {display.number(population)} charts" if population else "all charts"
    return (
        f"{count} of {sample_size} looked at met what you looked for: {display.percent(count / sample_size)}."
        f" In {whole} the share lies between {display.percent(low)} and {display.percent(high)} (95 % interval)."
    )


def _check_apart(drawing: list[str]) -> None:
    """Refuse options of drawing a list beside those of telling a result."""
    if drawing:
        raise NotUnderstood(
            f"Not used beside --found, --of and --population: {', '.join(drawing)}.",
            "Those three tell the result of a list already looked at and read no book.",
            "Leave out what does not belong, or leave out --found, --of and --population to draw a list.",
        )


def _check(precision: float | None, expected: float, count: int | None, seed: int | None) -> None:
    wrong = [
        (
            precision is not None and not 0 < precision < 1,
            "--precision",
            "a share above 0 and below 1",
            "Write for example --precision 0.05.",
        ),
        (not 0 <= expected <= 1, "--expected", "a share from 0 to 1", "Write for example --expected 0.9."),
        (
            count is not None and count < 1,
            "--count",
            "a number of charts from 1 up",
            "Write for example --count 30.",
        ),
        (
            count is not None and precision is not None,
            "--count beside --precision",
            "only one of the two",
            "Keep --count for a number of charts, or --precision for how near the share should be known.",
        ),
        (seed is not None and seed < 0, "--seed", "a whole number from 0 up", "Write for example --seed 7."),
    ]
    for is_wrong, option, wanted, do in wrong:
        if is_wrong:
            raise NotUnderstood(f"{option} was not understood.", f"Wanted: {wanted}.", do)


def _day(option: str, text: str | None) -> date | None:
    try:
        return day(text)
    except NotUnderstood as refusal:
        raise NotUnderstood(
            refusal.came, refusal.wanted, f"Write for example {option} 2026-03-01."
        ) from refusal


def _show(drawn: Any, expected: float, ward: str | None, by_ward: bool) -> None:
    """Print what was drawn, how sure its result will be, and what the stand-ins are for."""
    if drawn.is_whole:
        _show_whole(drawn, ward)
        return
    stand_ins = len(drawn.charts) - drawn.count
    print(
        f"{display.number(drawn.count)} of {display.number(drawn.population)} charted readings,"
        f" and {stand_ins} stand-ins; seed {drawn.seed}."
    )
    met = round(expected * drawn.count)
    low, high = interval(met, drawn.count, drawn.population)
    print(
        f"With {met} of them as they should be,"
        f" the share in all lies between {display.percent(low)} and {display.percent(high)}."
    )
    where, first = (" a ward", "first unused one of its ward") if by_ward else ("", "first unused one")
    print(
        f"Stand-ins are one for every ten charts, at least {FEWEST_STAND_INS}{where} as far as there are more readings."
        f" They are used in the order listed: the {first} takes the place of a chart that cannot be found or"
        " read, never of one because of what it says."
    )


def _show_whole(drawn: Any, ward: str | None) -> None:
    """Print that nothing was drawn by lot: every reading asked for stands on the list."""
    which = "of this ward" if ward is not None else "asked for"
    print(
        f"All {display.number(drawn.population)} readings {which} are listed;"
        f" the result will be exact for them. Seed {drawn.seed}."
    )
    print(
        "That leaves no stand-ins: a chart that cannot be found or read counts neither among those as they should be"
        " nor among those looked at."
    )


def _show_list(drawn: Any) -> None:
    for row in table(drawn):
        number, kind, _, *place, _ = row
        source = drawn.charts[number - 1].source
        print("  " + "  ".join(str(cell) for cell in (number, kind, f"import {source}", *place)))


def _show_next(drawn: Any) -> None:
    """Print which imports these are, what to decide before looking, and how to ask for the result."""
    print("Which file a row is in:")
    for origin in drawn.imports:
        print(f"  {origin}")
    print(
        "Match it by the day of import and its rows, as on the page Readings: names of files are not kept. CSV"
        " (or XLSX, ...) is the kind of file, the six characters after it the book's own mark for its content."
    )
    print(f"{LOOK_FOR}. A chart that does has met it.")
    command = f"browline sample --found K --of {drawn.count} --population {drawn.population}"
    print(f"Afterwards, with K of them as they should be: {command}")


def _as_csv(drawn: Any) -> str:
    """The list as CSV, with an empty column for the answers."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(HEADINGS)
    writer.writerows([_plain(cell) for cell in row] for row in table(drawn))
    return out.getvalue()


def _plain(cell: object) -> str:
    """A cell that no spreadsheet takes for a formula, whatever a ward is called."""
    text = str(cell)
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
