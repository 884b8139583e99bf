"""`browline sample`: how many charts to look at by hand, which ones, and how sure the result is."""

import csv
import sys
from io import StringIO
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from browline.errors import NotUnderstood

HEADINGS = ("number", "list", "import", "row", "time", "ward", "met")


def sample(
    *,
    book: Path | None = None,
    precision: float | None = None,
    expected: float = 0.5,
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
        the share expected, where you have an idea; 0.5 is the safe one.
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
        how many of the charts looked at met the standard; with --of, prints the interval and draws nothing.
    of
        how many were looked at.
    population
        with --found and --of: how many the list was drawn from.
    """
    if found is not None or of is not None or population is not None:
        print(answer(found, of, population))
        return
    from browline.cli.review import check_folder, day
    from browline.duties.sampling import draw_sample
    from browline.store.book import default_folder, open_book, standing

    check_folder(csv_to)
    _check(precision, expected, count, seed)
    drawn = draw_sample(
        open_book(standing(book or default_folder())),
        half_width=0.1 if precision is None else precision,
        expected=expected,
        count=count,
        ward=ward,
        by_ward=by_ward,
        since=day(since),
        until=day(until),
        seed=seed,
    )
    _show(drawn, expected, listed=csv_to is None)
    if csv_to is not None:
        csv_to.write_text(_as_csv(drawn), encoding="utf-8-sig", newline="")
        print(f"wrote {csv_to}", file=sys.stderr)


def answer(found: int | None, of: int | None, population: int | None) -> str:
    """The share found with its 95 % interval, in a sentence."""
    from browline.audit.sample import interval

    if found is None or of is None or not 0 <= found <= of or of < 1 or (population or of) < of:
        raise NotUnderstood(
            "The result was not understood.",
            "It needs how many met the standard and how many were looked at, the first no more than the second.",
            "Write for example --found 27 --of 30, and --population with the number the list was drawn from.",
        )
    low, high = interval(found, of, population)
    whole = f"all {population:,} charts" if population else "all charts"
    return (
        f"{found} of {of} looked at met the standard: {_percent(found / of)}. In {whole} the share lies between "
        f"{_percent(low)} and {_percent(high)} (95 % interval)."
    )


def _check(precision: float | None, expected: float, count: int | None, seed: int | None) -> None:
    wrong = [
        (
            precision is not None and not 0 < precision < 1,
            "--precision",
            "a share above 0 and below 1, as 0.05",
        ),
        (not 0 <= expected <= 1, "--expected", "a share from 0 to 1"),
        (count is not None and count < 1, "--count", "a number of charts from 1 up"),
        (count is not None and precision is not None, "--count beside --precision", "only one of the two"),
        (seed is not None and seed < 0, "--seed", "a whole number from 0 up"),
    ]
    for is_wrong, option, wanted in wrong:
        if is_wrong:
            raise NotUnderstood(f"{option} was not understood.", f"Wanted: {wanted}.", "Mend it.")


def _show(drawn: Any, expected: float, *, listed: bool) -> None:
    """Print what was drawn, the rule for spares, and the list unless it goes into a file."""
    from browline.audit.sample import interval

    spares = len(drawn.charts) - drawn.count
    print(
        f"{drawn.count:,} of {drawn.population:,} charted readings, and {spares} spares; seed {drawn.seed}."
    )
    met = round(expected * drawn.count)
    low, high = interval(met, drawn.count, drawn.population)
    print(
        f"With {met} of them as they should be, the share in all lies between {_percent(low)} and {_percent(high)}."
    )
    print(
        "A chart that cannot be found or read is replaced by the first unused spare of its ward (or the first"
        " unused one where the list is not by ward), never because of what it says."
    )
    if listed:
        for row in _rows(drawn):
            print("  " + "  ".join(str(cell) for cell in row[:-1]))
    told = f"browline sample --found K --of {drawn.count} --population {drawn.population}"
    print(f"Afterwards, with K of them as they should be: {told}")


def _rows(drawn: Any) -> list[tuple[object, ...]]:
    return [
        (number, "spare" if c.spare else "look at", c.label, c.row, c.time, c.ward, "")
        for number, c in enumerate(drawn.charts, start=1)
    ]


def _as_csv(drawn: Any) -> str:
    """The list as CSV, with an empty column for the answers."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(HEADINGS)
    writer.writerows([_plain(cell) for cell in row] for row in _rows(drawn))
    return out.getvalue()


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _plain(cell: object) -> str:
    """A cell that no spreadsheet takes for a formula, whatever a ward is called."""
    text = str(cell)
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
