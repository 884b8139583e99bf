"""Whatever stands in a file, its receipt adds up and nothing outside the bounds is taken."""

import uuid

from charts import adds_up, kept
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from browline.services.imports.run import import_file

CELLS = st.one_of(
    st.sampled_from(
        ["36.6", "98.6", "36,7", "366", "60", "LO", "refused", "", "-", "T 37.1 C", "1e9", "٣٦.٦", "=1+1"]
    ),
    st.text(st.characters(blacklist_categories=("Cs",), blacklist_characters="\0"), max_size=8),
    st.floats(20, 120).map(lambda x: f"{x:.2f}"),
)
TIMES = st.one_of(
    st.datetimes().map(lambda t: f"{t:%d/%m/}{t.year:04d} {t:%H:%M}"),
    st.sampled_from(["31/12/2026 24:00", "13/02/2026 25:00", "", "46088.5", "31/02/2026 10:00"]),
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(TIMES, CELLS, st.sampled_from(["V1", "V2", ""])), min_size=1, max_size=30))
def test_rows_in_are_rows_told(book, tmp_path, rows):
    import csv

    path = tmp_path / f"{uuid.uuid4().hex}.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file)
        out.writerow(["stay", "time", "temp"])
        # Two sound rows, so that the columns can be told whatever the others hold.
        out.writerow(["V9", "13/03/2026 10:00", "36.6"])
        out.writerow(["V9", "14/03/2026 10:00", "36.7"])
        out.writerows([stay, time, value] for time, value, stay in rows)
    receipt = import_file(book, path, mapping=MAPPING)
    assert adds_up(receipt)
    assert all(25.0 <= v <= 45.0 for _, _, v, _ in kept(book))


def _mapping():
    from browline.intake import Mapping

    return Mapping("readings", {"stay": "stay", "time": "time", "value": "temp"}, date_order="dmy")


MAPPING = _mapping()
