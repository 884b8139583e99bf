"""Names of staff, compared: only spaces, capitals and the order around a comma are forgiven."""


def plain_name(text: str) -> str:
    """A name for comparing: single spaces, small letters, "Surname, Given" turned round.

    >>> plain_name(" Alderley,  HANA ")
    'hana alderley'
    """
    parts = [" ".join(part.split()) for part in text.casefold().split(",")]
    return " ".join(reversed(parts)) if len(parts) == 2 else " ".join(text.casefold().split())
