"""What is asked of the planner of a roll-out."""

from collections.abc import Mapping

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

    def __init__(self, data: Mapping[str, object], *, of_the_book: tuple[str, ...] = ()) -> None:
        super().__init__(data)
        for name, (least, most, _, whole, what) in ASKED.items():
            said = "From the last review." if name in of_the_book else "An assumption; change it to yours."
            label, help_text = f"{what[:1].upper()}{what[1:]}{UNITS.get(name, '')}", HELP.get(name, "")
            self.fields[name] = _number(label, f"{help_text} {said}".strip(), least, most, whole)

    @property
    def first_asked(self) -> list[forms.BoundField]:
        """The fields that are asked before the others."""
        return [self[name] for name in FIRST]

    @property
    def further(self) -> list[forms.BoundField]:
        """The fields most leave as they are."""
        return [bound for bound in self if bound.name not in FIRST]

    def clean(self) -> dict[str, object]:
        """The same, with `asked` made of it."""
        gathered = super().clean() or {}
        if not self.errors:
            try:
                self.asked = Asked(**gathered)
            except NotUnderstood as refusal:
                self.add_error(None, str(refusal))
        return gathered


def _number(label: str, help_text: str, least: float, most: float, whole: bool) -> forms.IntegerField:
    widget = forms.NumberInput(attrs={"step": "1" if whole else "any", "inputmode": "decimal"})
    if whole:
        return forms.IntegerField(
            label=label, min_value=int(least), max_value=int(most), help_text=help_text, widget=widget
        )
    return forms.FloatField(label=label, min_value=least, max_value=most, help_text=help_text, widget=widget)


def shown(asked: Asked) -> Mapping[str, str]:
    """What the form shows for these."""
    return {name: f"{getattr(asked, name):g}" for name in ASKED}
