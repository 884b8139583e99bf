"""What does a roster say? Rows of cells in; one entry for each person and day out, with the file's row number.

Two layouts: a *grid* (staff down, days across) and a *list* (one row for a person and a day). A grid is known by
its row of days, a list by its headings.
"""

from collections.abc import Sequence
from datetime import date

from browline.intake.roster.grid import first_days, read_grid
from browline.intake.roster.listed import list_heading, read_list
from browline.intake.roster.staff_heading import SEARCHED, RosterRead, Rows


def looks_like_roster(rows: Rows, today: date) -> bool:
    """Whether the first rows of a sheet hold a roster in either layout."""
    top = rows[:SEARCHED]
    return list_heading(top) is not None or first_days(top, today) is not None


def read_roster(rows: Rows, today: date, wards: Sequence[str] = ()) -> RosterRead | None:
    """The entries of a sheet, None where it holds no roster. `wards`: names known as wards.

    >>> grid = [["Name", "2 Mar 2026", "3 Mar 2026", "4 Mar 2026"], ["Hana A.", "N", "", "LD"]]
    >>> [(e.name, e.day.day, e.cell) for e in read_roster(grid, date(2026, 3, 1)).entries if e.cell]
    [('Hana A.', 2, 'N'), ('Hana A.', 4, 'LD')]
    """
    heading = list_heading(rows[:SEARCHED])
    return read_list(rows, heading) if heading is not None else read_grid(rows, today, wards)
