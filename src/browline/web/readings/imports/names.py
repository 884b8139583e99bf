"""What may be charted, by name: instruments of the register and wards of the last review."""

from browline.store.models import Instrument, last_whole_review


def charted_names() -> dict[str, list[str]]:
    """Names by what they are of."""
    review = last_whole_review()
    wards = [row.ward for row in review.document.wards] if review else []
    return {"instrument": list(Instrument.objects.values_list("name", flat=True)), "ward": sorted(wards)}
