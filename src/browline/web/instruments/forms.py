"""A check against a reference, and an entry of the register."""

from django import forms

from browline.columns import INSTRUMENT_KINDS, MODES

NOT_SAID = [("", "not said")]
LEAST_C, MOST_C = 10.0, 50.0


def _number(label: str, step: str) -> forms.FloatField:
    return forms.FloatField(
        label=label, widget=forms.NumberInput(attrs={"step": step, "inputmode": "decimal"})
    )


class CheckForm(forms.Form):
    """One comparison with a reference, in the unit of the two numbers."""

    time = forms.DateTimeField(
        label="When", widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    )
    reference = _number("The reference showed", "0.01")
    shown = _number("The thermometer showed", "0.01")
    unit = forms.ChoiceField(label="Unit of both", choices=[("C", "°C"), ("F", "°F")])
    mode = forms.ChoiceField(
        label="Mode it was checked in", choices=NOT_SAID + [(m, m) for m in MODES], required=False
    )
    uncertainty = forms.FloatField(
        label="Uncertainty of the reference (optional)", required=False, min_value=0
    )
    result = forms.CharField(label="Conclusion (optional)", max_length=40, required=False)


class InstrumentForm(forms.Form):
    """What the register says of one instrument."""

    unit = forms.ChoiceField(
        label="Unit it is set to", choices=[*NOT_SAID, ("C", "°C"), ("F", "°F")], required=False
    )
    mode = forms.ChoiceField(
        label="What its number stands for", choices=NOT_SAID + [(m, m) for m in MODES], required=False
    )
    kind = forms.ChoiceField(
        label="Kind", choices=NOT_SAID + [(k, k) for k in INSTRUMENT_KINDS], required=False
    )
    model = forms.CharField(label="Model, as on its label", max_length=80, required=False)
    ward = forms.CharField(label="Home ward", max_length=80, required=False)
