"""Which report to make."""

from django import forms

FORMATS = [
    ("pdf", "PDF, to print and to carry to a committee"),
    ("html", "one page that opens on any computer, without browline"),
    ("xlsx", "spreadsheet of the findings"),
    ("json", "JSON, for other programs"),
]
PAPERS = [("a4", "A4"), ("us-letter", "Letter")]


class ReportForm(forms.Form):
    """Formats and paper of one report."""

    formats = forms.MultipleChoiceField(
        label="As", choices=FORMATS, widget=forms.CheckboxSelectMultiple, initial=["pdf", "html"]
    )
    paper = forms.ChoiceField(label="Paper", choices=PAPERS, widget=forms.RadioSelect)
