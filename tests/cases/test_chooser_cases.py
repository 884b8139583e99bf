"""Patients written before the code, with what must and must not come out; none of them is ever loosened.

What the chooser does not satisfy yet stands in a strict list: as soon as one of it holds, the test fails until the
line is taken out. The patients are invented; no clinician has judged them yet.
"""

import pytest
from chooser_cases import PATIENTS, wants

# id -> why not yet.
TO_COME = {
    "c07": "a sore ear is warned of, not asked about",
    "c15": "a burnt ear is warned of, not asked about",
    "c16": "a collar is not asked about",
    "c48": "what the instructions name is not asked about",
    "c58": "what is at hand is not asked about, and the cover is said of the first site alone",
    "c59": "wax is warned of, not asked about",
}
SOFT_TO_COME = {}


@pytest.mark.parametrize("id", PATIENTS)
def test_what_must_hold_of_this_patient_holds(id):
    _strictly(id, wants(PATIENTS[id], "hard"), TO_COME)


@pytest.mark.parametrize("id", PATIENTS)
def test_what_should_hold_of_this_patient_holds(id):
    _strictly(id, wants(PATIENTS[id], "soft"), SOFT_TO_COME)


def _strictly(id, missed, to_come):
    if id in to_come:
        assert missed, f"{id} holds now: take it out of what is to come"
    else:
        assert not missed, f"{PATIENTS[id]['title']}: {missed}"


def test_what_is_to_come_names_patients_that_there_are():
    assert {*TO_COME, *SOFT_TO_COME} <= set(PATIENTS)
