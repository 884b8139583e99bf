"""The document of today's instruments: the keys of the reference in order, read back as written, finite numbers."""

import json
import re
from math import inf
from pathlib import Path

import pytest
from msgspec import convert, structs

from browline.documents.encoding import NotFinite
from browline.documents.instruments import (
    CountRow,
    InstrumentsDocument,
    RegisterRow,
    TaskRow,
    WardKitRow,
    instruments_json,
)

REFERENCE = (Path(__file__).parents[2] / "docs" / "reference.md").read_text(encoding="utf-8")
EXAMPLE = json.loads(re.search(r"```json instruments\n(.*?)```", REFERENCE, re.DOTALL)[1])
KEYS = {
    InstrumentsDocument: EXAMPLE,
    CountRow: EXAMPLE["count"],
    TaskRow: EXAMPLE["due"][0],
    RegisterRow: EXAMPLE["instruments"][0],
    WardKitRow: EXAMPLE["wards"][0],
}
NUMBERS = ("in_service", "present", "in_use", "not_located", "retired", "later", "not_in_register")
COUNT = CountRow(**dict.fromkeys(NUMBERS, 1), round_made=True, located_share=1, sentence="1 of 1.")
ROW = RegisterRow(instrument="FS-07", home="Larch", state="present", ward="Yew", check_error_c=0.6)
WARD = WardKitRow(ward="Larch", not_ready={"FS-07": ("lens due",)}, away=("FS-07",), sentence="0 ready")
DOCUMENT = InstrumentsDocument(count=COUNT, instruments=(ROW,), wards=(WARD,))


@pytest.mark.parametrize("kind", KEYS, ids=lambda kind: kind.__name__)
def test_its_fields_are_the_keys_of_the_reference_in_their_order(kind):
    assert [part.encode_name for part in structs.fields(kind)] == list(KEYS[kind])


def test_what_was_written_is_read_again_and_whole_numbers_stay_whole():
    text = instruments_json(DOCUMENT)
    assert convert(json.loads(text), InstrumentsDocument) == DOCUMENT and '"located_share": 1,' in text


def test_a_number_that_is_not_finite_is_refused_with_its_place():
    faulty = structs.replace(ROW, check_error_c=inf)
    with pytest.raises(NotFinite, match=r"^instruments\[0\]\.check_error_c is inf"):
        instruments_json(structs.replace(DOCUMENT, instruments=(faulty,)))


def test_an_instrument_on_another_ward_is_named_with_that_ward():
    assert DOCUMENT.ward_of("FS-07") == "Yew" and DOCUMENT.ward_of("FS-08") == ""
