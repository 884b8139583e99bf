"""What a demonstration tells the review: a row among the sessions, with its outcome, which follows amendments."""

from browline.services.training.demonstrations.reading import WITHDRAWN
from browline.store.models import Attendance, Demonstration


def attend(demonstration: Demonstration) -> None:
    """Write the row that the review reads; call inside the transaction that wrote the record."""
    if demonstration.outcome == WITHDRAWN:
        return
    Attendance.objects.update_or_create(
        person_id=demonstration.person_id,
        time=demonstration.time,
        outcome=demonstration.outcome,
        defaults={"ward": demonstration.ward, "assessor_id": demonstration.assessor_id},
    )


def unattend(demonstration: Demonstration) -> None:
    """Take the row of a replaced record away, unless another record that stands says the same."""
    same = {name: getattr(demonstration, name) for name in ("person_id", "time", "outcome")}
    if not Demonstration.objects.in_force().filter(**same).exists():
        Attendance.objects.filter(**same).delete()
