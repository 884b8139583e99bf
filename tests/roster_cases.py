"""Rosters as ward offices keep them: practice, Part C, traps 11 to 14. All people are invented.

Common practice, no source: the layouts are those the educators of wards describe, written down from memory.
"""

from datetime import date, datetime, timedelta

MONDAY = date(2026, 3, 2)
DAYS = [MONDAY + timedelta(days=d) for d in range(14)]

HANA = ("LD", "LD", "", "-", "N", "N", "N*", "", "", "LD (Oak)", "LD", "", "", "E/L")
BRAM = ("E", "E", "L", "L", "-", "-", "-", "N 5W", "N", "N", "", "", "", "XQ")
UNA = ("AL",) * 14


def grid(days=None, *, titles=True):
    """A grid with titles, merged week headings, two heading rows, a totals row, blanks and a legend."""
    heads = days or [f"{d:%d/%m/%Y}" for d in DAYS]
    rows = [
        ["Ward Maple: off duty"] + [""] * 17 if titles else [""] * 18,
        [""] * 18,
        ["", "", "", "", "Week 1"] + [""] * 6 + ["Week 2"] + [""] * 6,
        ["Staff no", "Name", "Band", "WTE", *heads],
        ["", "", "", "", *[f"{d:%a}" for d in DAYS]],
        ["Registered nurses"] + [""] * 17,
        ["00417", "Alderley, Hana", "6", "1.0", *HANA],
        ["00938", "Bram Copeden", "5", "0.8", *BRAM],
        [""] * 18,
        ["Healthcare assistants"] + [""] * 17,
        ["01200", "Una Fenwick", "3", "1.0", *UNA],
        ["", "VACANT", "3", "1.0", "E", "", *[""] * 12],
        ["Total on duty", "", "", "", *["2"] * 14],
        ["Earlies", "", "", "", *["1"] * 14],
        ["N = night 19:00 to 07:30"] + [""] * 17,
    ]
    return rows


def as_csv(rows):
    """The rows as CSV text."""
    return "\n".join(",".join(f'"{c}"' if "," in c else c for c in row) for row in rows) + "\n"


def as_workbook(path, rows):
    """The grid as a workbook with real dates and merged week headings."""
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    for row in rows:
        sheet.append([None if c == "" else c for c in row])
    for column, day in enumerate(DAYS, 5):
        cell = sheet.cell(4, column, datetime.combine(day, datetime.min.time()))
        cell.number_format = "ddd dd/mm"
    sheet.merge_cells("E3:K3")
    sheet.merge_cells("L3:R3")
    sheet.merge_cells("A1:R1")
    book.save(path)
    return path


LIST = """Staff ID,Name,Shift date,Shift,Ward,Start,End
417,Hana Alderley,01/03/2026,N,Maple,19:00,07:30
00417,Hana Alderley,02/03/2026,OFF,Maple,,
00938,Bram Copeden,02/03/2026,Special,Oak,09:00,17:00
00938,Bram Copeden,03/03/2026,E/L,Maple,,
,Una Fenwick,03/03/2026,LD,Maple,,
"""
