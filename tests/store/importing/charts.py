"""Small charts of an invented ward, as an export would hold them, and what a book makes of them."""

from browline.store.memory import working_memory
from browline.store.readings import view_readings

HEADING = "patient,stay,time,value,unit,site,instrument,person,ward"
SOUND = [
    "P00441,V1,2026-03-07 06:05,36.6,C,Temporal,FS-01,00417,5 West",
    "P00441,V1,2026-03-07 10:10,37.1,C,Temporal,FS-02,00938,5 West",
    "P00442,V2,2026-03-07 10:15,38.2,C,Oral,FS-01,00417,5 West",
    "P00443,V3,2026-03-07 10:20,98.6,F,Axillary,FS-02,00417,5 East",
]


def chart(*rows, heading=HEADING):
    """A CSV text of these rows."""
    return "\n".join([heading, *(rows or SOUND)]) + "\n"


def kept(book, columns="row, time, value, site"):
    """Rows in force, in order of time and row."""
    con = working_memory()
    view_readings(con, book)
    return con.execute(f"SELECT {columns} FROM readings ORDER BY time, source, row").fetchall()


def entry(receipt, table=0):
    """The entry of one table in a receipt, its reasons by code."""
    made = dict(receipt.as_json()["files"][table])
    made["codes"] = {r["code"]: r for r in made["reasons"]}
    return made


def adds_up(receipt):
    """Whether rows = taken + already here + set aside, and reasons explain every set-aside row."""
    from browline.intake import REASONS

    for e in receipt.as_json()["files"]:
        explained = sum(r["count"] for r in e["reasons"] if r["code"] in REASONS)
        if e["rows"] != e["taken"] + e["already_here"] + e["set_aside"] or explained != e["set_aside"]:
            return False
    return True
