"""What may be charted, by name: instruments of the register and wards of the last review."""

from browline.store.models import Instrument, Review


def charted_names() -> dict[str, list[str]]:
    """Names by what they are of."""
    review = Review.objects.first()
    wards = [row["ward"] for row in review.result.get("wards") or []] if review else []
    return {"instrument": list(Instrument.objects.values_list("name", flat=True)), "ward": sorted(wards)}
