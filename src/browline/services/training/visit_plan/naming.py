"""What people are called in a plan: their name, with what tells two of one name apart."""

from collections import Counter
from collections.abc import Collection

from browline.store.models import Person

JOINED = "; "
"""Between names: a name may hold a comma itself ("Birch, Xena")."""


def names(people: Collection[int]) -> dict[int, str]:
    """person -> name, with the ward where the book has two of one name, or the identifier where that is no help."""
    everybody = list(Person.objects.all())
    by_name = Counter(p.shown for p in everybody)
    by_ward = Counter((p.shown, p.ward) for p in everybody)
    out = {}
    for p in everybody:
        if p.pk in people:
            apart = p.ward if p.ward and by_ward[p.shown, p.ward] == 1 else p.identifier
            out[p.pk] = f"{p.shown} ({apart})" if by_name[p.shown] > 1 else p.shown
    return out


def joined(found: Collection[str]) -> str:
    """Names one after another.

    >>> joined(["Birch, Xena", "Holm, Vera"])
    'Birch, Xena; Holm, Vera'
    """
    return JOINED.join(found)
