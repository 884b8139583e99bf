"""The editor of a document, made from its layout: one form for its head, one for each row, one for approval."""

from collections.abc import Iterable, Mapping
from typing import TypeAlias

from django import forms

from browline.controlled import Field, Layout

RowForms: TypeAlias = "forms.BaseFormSet[forms.Form]"

SHORT, LONG = forms.TextInput(), forms.Textarea(attrs={"rows": 3})


class ApprovalForm(forms.Form):
    """Who answers for it, what it rests on, and from when to when it may be used."""

    owner = forms.CharField(label="Owner", required=False, max_length=120)
    source = forms.CharField(
        label="Source",
        required=False,
        max_length=300,
        help_text="What it rests on: the instruments' instructions for use, the hospital's policy.",
    )
    approved = forms.DateField(
        label="Approved on", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    expires = forms.DateField(
        label="Expires on", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )


def head_form(layout: Layout) -> type[forms.Form]:
    """The form of what stands in the document once."""
    return type("HeadForm", (forms.Form,), {field.name: _field(field) for field in layout.head})


def row_forms(layout: Layout) -> type[RowForms]:
    """The forms of its rows, which may be ordered and taken out; one more is empty, for a new row."""
    row = type("RowForm", (forms.Form,), {field.name: _field(field) for field in layout.fields})
    return forms.formset_factory(row, extra=1, can_order=True, can_delete=True, max_num=400)


def document_body(head: forms.Form, rows: RowForms) -> dict[str, object]:
    """What was entered, as the body of a document; rows in the order given."""
    return {
        "head": dict(head.cleaned_data),
        "rows": [_row(form) for form in rows.ordered_forms if _row(form)],
    }


def initial_rows(layout: Layout, body: Mapping[str, object]) -> list[dict[str, object]]:
    """The rows as they stand, for the forms."""
    rows = body["rows"]
    if not isinstance(rows, list):
        raise TypeError("the rows of a document are a list")
    return [typed_values(layout.fields, row) for row in rows]


def typed_values(fields: Iterable[Field], values: Mapping[str, object]) -> dict[str, object]:
    """Values as a person would type them: 3 and not 3.0."""
    return {field.name: _typed(values.get(field.name)) for field in fields}


def _typed(value: object) -> object:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def complaints(*parts: Iterable[forms.Form]) -> bool:
    """Whether any form has something to mend."""
    return any(form.errors for part in parts for form in part)


def _row(form: forms.Form) -> dict[str, object]:
    return {name: value for name, value in form.cleaned_data.items() if name not in ("ORDER", "DELETE")}


def _field(field: Field) -> forms.Field:
    form_field = _form_field(field)
    form_field.label, form_field.help_text = field.label, field.help
    form_field.required = field.needed and field.type != "tick"
    return form_field


def _form_field(field: Field) -> forms.Field:
    choices = list((field.choices or {}).items())
    if field.type == "tick":
        return forms.BooleanField()
    if field.type == "choice":
        return forms.ChoiceField(choices=[("", "–"), *choices])
    if field.type == "many":
        return forms.MultipleChoiceField(choices=choices, widget=forms.CheckboxSelectMultiple)
    if field.type == "number":
        return forms.FloatField(widget=forms.NumberInput(attrs={"step": "any"}))
    return forms.CharField(widget=LONG if field.type == "long" else SHORT)
