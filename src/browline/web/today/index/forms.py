"""What she may enter on Today: what a check showed, and a new review."""

from collections.abc import Mapping

from django import forms

from browline.findings import SUBJECTS
from browline.web.choices import offer


class OutcomeForm(forms.Form):
    """What came of a finding: one of a closed list, and a note that anybody may read."""

    code = forms.ChoiceField(widget=forms.RadioSelect)
    note = forms.CharField(
        label="Note (optional)",
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "aria-describedby": "note-rule"}),
    )

    def __init__(self, data: Mapping[str, object] | None = None, *, subject: str) -> None:
        """Outcomes that make sense for what the finding is about."""
        super().__init__(data)
        about = SUBJECTS[subject]
        offer(self, "code", about.outcomes)
        self.fields["code"].label = about.question


class ReviewForm(forms.Form):
    """What a review is to look at beyond instruments, wards and values."""

    people = forms.BooleanField(
        label="Also look at who may want help with the scan (kept from view until asked for)", required=False
    )
