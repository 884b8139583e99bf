"""A check against a reference, a cleaning, an entry of the register, and what a ward needs."""

from collections.abc import Mapping

from django import forms
from django.utils import timezone

from browline.columns import INSTRUMENT_KINDS, MODES, PARTS
from browline.store.models import Instrument
from browline.web.choices import offer
from browline.web.validators import in_our_years

NOT_SAID = [("", "not said")]


def _number(label: str, step: str) -> forms.FloatField:
    return forms.FloatField(
        label=label, widget=forms.NumberInput(attrs={"step": step, "inputmode": "decimal"})
    )


def _when() -> forms.DateTimeField:
    return forms.DateTimeField(
        label="When",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        validators=[in_our_years],
    )


def _day() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class CheckForm(forms.Form):
    """One comparison with a reference, in the unit of the two numbers."""

    time = _when()
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


class AddForm(InstrumentForm):
    """A new entry; a name that looks like another's needs to be said for sure."""

    name = forms.CharField(label="Name or number, as on its label", max_length=80)
    start = forms.DateField(
        label="In service from (optional)", required=False, widget=_day(), validators=[in_our_years]
    )
    sure = forms.BooleanField(label="I have read the label again: it is another instrument", required=False)

    field_order = ("name", "ward", "unit", "mode", "kind", "model", "start", "sure")


class CleaningForm(forms.Form):
    """One or several instruments cleaned at one time."""

    time = _when()
    part = forms.ChoiceField(label="What was cleaned", choices=[(p, p) for p in PARTS])
    agent = forms.CharField(label="With what (optional)", max_length=80, required=False)
    who = forms.CharField(label="Who cleaned (optional)", max_length=80, required=False)
    instruments = forms.MultipleChoiceField(label="Instruments", widget=forms.CheckboxSelectMultiple)

    def __init__(
        self, data: Mapping[str, object] | None = None, *, initial: dict[str, object] | None = None
    ) -> None:
        super().__init__(data, initial=initial)
        names = Instrument.objects.order_by("ward", "name").values_list("name", "ward")
        offer(self, "instruments", ((n, f"{n}, {ward}" if ward else n) for n, ward in names))


class RetireForm(forms.Form):
    """The end of an instrument's service: never without a reason and something in its place."""

    on = forms.DateField(
        label="Last day in service",
        initial=timezone.localdate,
        widget=_day(),
        validators=[in_our_years],
    )
    reason = forms.CharField(label="Why", max_length=160)
    replacement = forms.CharField(
        label="What stands in for it",
        max_length=160,
        help_text="The name of another instrument, or what was arranged. Nothing is taken away without a spare.",
    )


class NeedForm(forms.Form):
    """How many instruments a ward should have ready; no number takes the statement back."""

    ward = forms.CharField(label="Ward", max_length=80)
    number = forms.IntegerField(
        label="Instruments it should have ready", min_value=0, max_value=500, required=False
    )


class BatteryForm(forms.Form):
    """How many readings a battery lasts, by model; no number takes the statement back."""

    model = forms.CharField(
        label="Model, as in the register (empty: any other)", max_length=80, required=False
    )
    readings = forms.IntegerField(
        label="Readings a battery lasts",
        min_value=100,
        max_value=1_000_000,
        required=False,
        help_text="15,000 is taught, no source found. The figure in the instrument’s instructions wins.",
    )
