"""What is asked of the planner of a roll-out."""

from collections.abc import Mapping
from typing import Any

from django import forms

from browline.errors import NotUnderstood
from browline.services.training.rollout import ASKED, Asked

FIRST = ("wards", "months", "before", "readings")
UNITS = {name: " (°C)" for name in ASKED if name.endswith("_c")}
HELP = {
    "readings": "Forehead scans only, of one ward.",
    "month_c": "Beyond patients: season on the ward, staffing, instruments. Not known beforehand.",
    "decay": "0.7: about half of it is still there two months later.",
}


class RolloutForm(forms.Form):
    """A number for each thing asked; what is rarely changed stands behind the first."""

    def __init__(self, *args: Any, of_the_book: tuple[str, ...] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, (least, most, _, whole, what) in ASKED.items():
            kind = forms.IntegerField if whole else forms.FloatField
            said = "From the last review." if name in of_the_book else "An assumption; change it to yours."
            self.fields[name] = kind(
                label=f"{what[:1].upper()}{what[1:]}{UNITS.get(name, '')}",
                min_value=least,
                max_value=most,
                help_text=f"{HELP.get(name, '')} {said}".strip(),
                widget=forms.NumberInput(attrs={"step": "1" if whole else "any", "inputmode": "decimal"}),
            )

    @property
    def first_asked(self) -> list[forms.BoundField]:
        """The fields that are asked before the others."""
        return [self[name] for name in FIRST]

    @property
    def further(self) -> list[forms.BoundField]:
        """The fields most leave as they are."""
        return [bound for bound in self if bound.name not in FIRST]

    def clean(self) -> dict[str, Any]:
        """The same, with `asked` made of it."""
        gathered = super().clean() or {}
        if not self.errors:
            try:
                self.asked = Asked(**gathered)
            except NotUnderstood as refusal:
                self.add_error(None, str(refusal))
        return gathered


def shown(asked: Asked) -> Mapping[str, str]:
    """What the form shows for these."""
    return {name: f"{getattr(asked, name):g}" for name in ASKED}
