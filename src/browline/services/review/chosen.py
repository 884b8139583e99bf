"""The preferences that a review goes by, read once at its start."""

from dataclasses import dataclass

from browline.services.book.preferences import choice


@dataclass(frozen=True)
class Chosen:
    """The hospital's name, the fever line, what is worth a check, the false alarms allowed, the site compared with."""

    hospital: str
    fever_c: float
    tolerance_c: float
    false_share: float
    reference_site: str


def chosen_now() -> Chosen:
    """The preferences in force."""
    return Chosen(
        hospital=choice("hospital"),
        fever_c=choice("fever_c"),
        tolerance_c=choice("tolerance_c"),
        false_share=choice("false_share"),
        reference_site=choice("reference_site"),
    )
