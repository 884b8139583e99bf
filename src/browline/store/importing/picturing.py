"""The picture of a staged table's values, and the stop where they are not people's or were mended too often."""

from typing import Any

from browline.intake import CANNOT_BE, EDGES, MENDED, Picture, doubt, much_mended, unlike_people


def value_picture(con: Any) -> Picture:
    """Where the numbers of the staged rows lie, in one pass."""
    band = " + ".join(f"(value >= {edge})::INTEGER" for edge in EDGES)
    read = "reason IS NULL"
    counts = ", ".join(
        f"count(*) FILTER (WHERE {read} AND band = {place})" for place in range(len(EDGES) + 1)
    )
    mended = " OR ".join(f"list_contains(string_split(repairs, ','), '{code}')" for code in MENDED)
    cannot = ", ".join(f"'{code}'" for code in CANNOT_BE)
    ends = f"quantile_cont(value, [0.02, 0.5, 0.98]) FILTER (WHERE {read})"
    *bands, unlikely, put_right, middle = con.execute(
        f"""SELECT {counts}, count(*) FILTER (WHERE reason IN ({cannot})),
        count(*) FILTER (WHERE {read} AND ({mended})), {ends}
        FROM (SELECT *, {band} AS band FROM staged)"""
    ).fetchone()
    low, half, high = middle or (0.0, 0.0, 0.0)
    return Picture(bands=tuple(bands), cannot=unlikely, mended=put_right, low=low, middle=half, high=high)


def stop_or_note(picture: Picture, vouched: bool) -> str:
    """Raise where the values cannot stand; the sentence for the receipt where she vouched for them, else none."""
    stop = doubt(picture)
    if stop is None:
        return ""
    if not vouched or not hasattr(stop, "question"):
        raise stop
    why = unlike_people(picture) or much_mended(picture)
    return f"You said that these are people's temperatures. {why}"
