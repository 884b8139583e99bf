"""What a roster needs settled beside its files: wards that are known, what codes stand for, who is away for long."""

from browline.store.models import Instrument, Person, Shift, WardAlias


def known_wards() -> set[str]:
    """Wards by which floats and sections are known: of people, of instruments, of earlier turns."""
    aliases = {w for pair in WardAlias.objects.values_list("alias", "ward") for w in pair}
    return (staff_wards() | Instrument.objects.wards() | aliases) - {""}


def staff_wards() -> set[str]:
    """Wards that people belong to or are rostered on."""
    return Person.objects.wards() | Shift.objects.wards()
