"""The choices of a book, as the duty names and explains them."""

from collections.abc import Mapping

from django import forms

from browline.quantities import SITES
from browline.services.book.preferences import CHOICES, is_zone


def _text(label: str) -> forms.CharField:
    return forms.CharField(label=label, required=False, max_length=200)


def _number(least: float, most: float, step: float) -> forms.FloatField:
    widget = forms.NumberInput(attrs={"step": step, "inputmode": "decimal"})
    return forms.FloatField(min_value=least, max_value=most, widget=widget)


class ChoicesForm(forms.Form):
    """Every choice; its explanation is the duty's own."""

    hospital = _text("Hospital")
    zone = _text("Time zone")
    show_unit = forms.ChoiceField(label="Unit shown first", choices=[("C", "°C"), ("F", "°F")])
    tolerance_c = _number(0.05, 2.0, 0.05)
    fever_c = _number(37.0, 39.5, 0.1)
    low_c = _number(32.0, 36.5, 0.1)
    false_share = _number(0.01, 0.5, 0.01)
    reference_site = forms.ChoiceField(
        label="Reference site",
        choices=[("", "chosen from the charts"), *((s, s) for s in SITES)],
        required=False,
    )
    paper = forms.ChoiceField(label="Paper", choices=[("a4", "A4"), ("us-letter", "Letter")])
    owner = _text("Owner of actions")
    decision = _text("Decision asked for")
    clean_days = forms.IntegerField(label="Days between lens cleanings", min_value=1, max_value=366)
    locate_days = forms.IntegerField(label="Days a sighting is good for", min_value=1, max_value=366)

    def __init__(
        self, data: Mapping[str, object] | None = None, *, initial: dict[str, object] | None = None
    ) -> None:
        super().__init__(data, initial=initial)
        self.fields["tolerance_c"].label = "Tolerance, °C"
        self.fields["fever_c"].label = "Fever line, °C"
        self.fields["low_c"].label = "Low line, °C"
        self.fields["false_share"].label = "Expected share of false flags"
        for key, field in self.fields.items():
            field.help_text = CHOICES[key].meaning
            field.widget.attrs["aria-describedby"] = f"about-{key}"

    def clean_zone(self) -> str:
        zone = str(self.cleaned_data["zone"])
        if zone and not is_zone(zone):
            raise forms.ValidationError("This is not the name of a time zone; Europe/London is one.")
        return zone
