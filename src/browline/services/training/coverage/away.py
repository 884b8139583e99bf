"""Who is away on the roster all through the coming weeks, so that nobody is looked for in vain."""

from datetime import date, timedelta

from browline.services.training.coverage import WEEKS
from browline.shifts import ON_DUTY
from browline.store.models import Shift


def away_ahead(today: date) -> dict[int, date]:
    """By person, the last day away of those whom the roster has away in these weeks and on no turn of duty."""
    rows = Shift.objects.filter(date__gte=today, date__lt=today + timedelta(weeks=WEEKS)).exclude(kind="off")
    at_work, last = set(), dict[int, date]()
    for person, day, kind in rows.order_by("date").values_list("person", "date", "kind"):
        at_work |= {person} if kind in ON_DUTY else set()
        last[person] = day
    return {person: day for person, day in last.items() if person not in at_work}
