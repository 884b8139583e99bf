"""What is asked of the planner of a roll-out."""

from collections.abc import Mapping

from django import forms

from browline.errors import NotUnderstood
from browline.services.training.rollout import CHOICES, RolloutOptions

FIRST = ("wards", "months", "before", "readings")
UNITS = {name: " (°C)" for name in CHOICES if name.endswith("_c")}
HELP = {
    "readings": "Forehead scans only, of one ward.",
    "month_c": "Beyond patients: season on the ward, staffing, instruments. Not known beforehand.",
    "decay": "0.7: about half of it is still there two months later.",
}


class RolloutForm(forms.Form):
    """A number for each thing asked; what is rarely changed stands behind the first."""

    def __init__(self, data: Mapping[str, object], *, from_review: tuple[str, ...] = ()) -> None:
        super().__init__(data)
        for name, (least, most, _, whole, description) in CHOICES.items():
            source = "From the last review." if name in from_review else "An assumption; change it to yours."
            label, help_text = (
                f"{description[:1].upper()}{description[1:]}{UNITS.get(name, '')}",
                HELP.get(name, ""),
            )
            self.fields[name] = _number(label, f"{help_text} {source}".strip(), least, most, whole)

    @property
    def first_options(self) -> list[forms.BoundField]:
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
                self.asked = RolloutOptions(**gathered)
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


def form_values(assumptions: RolloutOptions) -> Mapping[str, str]:
    """What the form shows for these."""
    return {name: f"{getattr(assumptions, name):g}" for name in CHOICES}
