"""A chart's specification is held against the schema of Vega-Lite (published with Altair)."""

import altair as alt
import pytest
from altair.utils.schemapi import SchemaValidationError

from browline.figures import drawing


def test_a_specification_outside_the_schema_is_refused():
    chart = alt.Chart(alt.Data(values=[])).mark_point()
    chart["mark"] = {"type": "point", "filled": "perhaps"}
    with pytest.raises(SchemaValidationError):
        drawing.draw(chart, "title", "sentence")
