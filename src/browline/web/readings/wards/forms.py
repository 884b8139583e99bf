"""How many charts to draw."""

from django import forms

FEWEST_DRAWN, MOST_DRAWN, USUAL = 5, 500, 30


class SampleForm(forms.Form):
    """How many charts of one ward to look at by hand."""

    count = forms.IntegerField(
        label="How many charts",
        min_value=FEWEST_DRAWN,
        max_value=MOST_DRAWN,
        initial=USUAL,
        help_text="Of 30, 27 as they should be would mean 74 to 97 % of all.",
    )
