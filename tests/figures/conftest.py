"""Every chart drawn here is checked against the published schema of Vega-Lite; pages draw without that check."""

import altair as alt
import pytest

from browline.figures import drawing


@pytest.fixture(autouse=True)
def checked(monkeypatch):
    """Specifications are validated as they are written, and nothing comes from an earlier drawing."""
    write = alt.TopLevelMixin.to_dict

    def validated(chart, validate=True, *, context=None, **more):
        return write(chart, validate=validate or not context, context=context, **more)

    monkeypatch.setattr(alt.TopLevelMixin, "to_dict", validated)
    drawing._drawn.cache_clear()
