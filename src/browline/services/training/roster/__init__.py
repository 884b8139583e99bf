"""What a roster needs settled beside its files: wards that are known, what codes stand for, who is away for long."""

from browline.store.models import Instrument, Person, Shift, WardAlias


def known_wards() -> set[str]:
    """Wards by which floats and sections are known: of people, of instruments, of earlier turns."""
    sources = (Person.objects, Instrument.objects, Shift.objects)
    names = {w for rows in sources for w in rows.values_list("ward", flat=True).distinct()}
    names |= {w for pair in WardAlias.objects.values_list("alias", "ward") for w in pair}
    return names - {""}
