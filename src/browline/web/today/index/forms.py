"""What she may enter on Today: what a check showed, and a new review."""

from collections.abc import Mapping

from django import forms

from browline.findings import OUTCOMES
from browline.web.choices import offer

# A person or the whole book cannot be cleaned or lost.
OF_PRACTICE = ("no-fault-found", "unit-changed", "mode-changed", "replaced")


# What may come of asking a ward: nothing of an instrument's.
OF_WARD = OUTCOMES | {"no-fault-found": "no fault found: the ward explained it"}
OF_SUBJECT = {
    "instrument": {
        code: text for code, text in OUTCOMES.items() if code not in ("form-changed", "instruments-brought")
    },
    "ward": {code: OF_WARD[code] for code in ("no-fault-found", "form-changed", "instruments-brought")},
}
LABELS = {"ward": "What came of asking the ward?"}


class OutcomeForm(forms.Form):
    """What came of a finding: one of a closed list, and a note that anybody may read."""

    code = forms.ChoiceField(label="What did the check show?", widget=forms.RadioSelect)
    note = forms.CharField(
        label="Note (optional)",
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "aria-describedby": "note-rule"}),
    )

    def __init__(self, data: Mapping[str, object] | None = None, *, subject: str) -> None:
        """Outcomes that make sense for what the finding is about."""
        super().__init__(data)
        codes = OF_SUBJECT.get(subject, {code: OUTCOMES[code] for code in OF_PRACTICE})
        offer(self, "code", codes.items())
        self.fields["code"].label = LABELS.get(subject, self.fields["code"].label)


class ReviewForm(forms.Form):
    """What a review is to look at beyond instruments, wards and values."""

    people = forms.BooleanField(
        label="Also look at who may want help with the scan (kept from view until asked for)", required=False
    )
