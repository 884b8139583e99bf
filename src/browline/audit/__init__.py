"""Were these values measured? First form: what the chart says about itself.

Shares with Wilson intervals, ward by ward: readings without a site, values no patient can have, values in the
wrong unit; instruments whose values come in the other unit; repeats within half a minute. The ward is the
subject, never a person.
"""

from browline.audit.charting import Charting, InstrumentCounts, Share, WardCounts, solve
from browline.audit.explain import findings, limits

__all__ = ["Charting", "InstrumentCounts", "Share", "WardCounts", "findings", "limits", "solve"]
