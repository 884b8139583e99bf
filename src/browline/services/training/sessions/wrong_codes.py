"""Wrong codes counted by address, so that the code of an open session cannot be guessed.

21⁶ codes against 20 tries in ten minutes: guessing goes on for decades. Codes that exist do not count. The count is the
book's, so that it holds for every process that shows its pages, and after a start anew. What was counted while the
clock stood ahead holds nobody back, and is swept.
"""

from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q
from django.utils.crypto import salted_hmac

from browline.store.models import WrongCode

MOST, SPAN = 20, timedelta(minutes=10)
REMEMBERED = 10_000
SALT = "browline.wrong-code"


def blocked(address: str, now: datetime) -> bool:
    """Whether this address has tried too many wrong codes lately."""
    return WrongCode.objects.filter(source=_source(address), at__gt=now - SPAN, at__lte=now).count() >= MOST


def count_wrong(address: str, now: datetime) -> None:
    """Count a code that is no session's; of too many addresses, the one first counted is forgotten."""
    source = _source(address)
    with transaction.atomic():
        WrongCode.objects.filter(Q(at__lte=now - SPAN) | Q(at__gt=now + SPAN)).delete()
        if not WrongCode.objects.filter(source=source).exists():
            _make_room()
        WrongCode.objects.create(source=source, at=now)


def _make_room() -> None:
    if WrongCode.objects.order_by().values("source").distinct().count() >= REMEMBERED:
        WrongCode.objects.filter(source__in=WrongCode.objects.values("source")[:1]).delete()


def _source(address: str) -> str:
    """A digest under the book's own key: the book keeps no address of anybody's phone."""
    return salted_hmac(SALT, address, algorithm="sha256").hexdigest()
