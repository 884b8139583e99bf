"""What she may enter on Today: what a check showed, and a new review."""

from django import forms

from browline.findings import OUTCOMES


class OutcomeForm(forms.Form):
    """What came of a finding: one of a closed list, and a note that anybody may read."""

    code = forms.ChoiceField(
        label="What did the check show?", choices=list(OUTCOMES.items()), widget=forms.RadioSelect
    )
    note = forms.CharField(
        label="Note (optional)",
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "aria-describedby": "note-rule"}),
    )


class ReviewForm(forms.Form):
    """What a review is to look at beyond instruments, wards and values."""

    people = forms.BooleanField(
        label="Also look at who may want help with the scan (kept from view until asked for)", required=False
    )
