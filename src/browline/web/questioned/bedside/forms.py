"""What is asked before the desk's answer may stand at the bedside."""

from django import forms

from browline.services.questioned.at_bedside import LONGEST_NAME, LONGEST_REASON


class ApprovalForm(forms.Form):
    """Who approves it, why, and until when."""

    approver = forms.CharField(
        label="Approved by",
        max_length=LONGEST_NAME,
        help_text="Name and role of the person who answers for it. It is shown at the bedside.",
    )
    reason = forms.CharField(
        label="Why",
        max_length=LONGEST_REASON,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="It is kept.",
    )
    until = forms.DateField(
        label="Until",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="It ends by itself after this day, a year from now at the latest.",
    )
