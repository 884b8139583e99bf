"""Likely causes of what instruments, wards and people read off, and what tells each apart.

Their weights are numbers of the joint model and lie there.
"""

from browline.findings.cause import Cause

LENS = Cause("dirty lens", None, "a check as found, then clean the lens and check again the same day")
FAULT = Cause("lens damage or a fault in the instrument", None, "a check against a reference after cleaning")
MODE = Cause(
    "set to another mode or build than the rest",
    None,
    "read its mode and build from its label and menu",
    "Bring a spare, tag this instrument and keep it out of use. Compare its mode and build with the register, and"
    " have it checked as found, before it is cleaned.",
)
USE = Cause(
    "the way or place it is used",
    None,
    "let two people read one patient with it and with a spare",
    "Bring a spare, tag this instrument and keep it out of use while it is checked as found, before it is cleaned;"
    " and watch how readings are taken.",
)
COVERED = Cause(
    "covered skin, or skin not yet settled after coming in", None, "watch a round: uncovered a minute?"
)
PRACTICE = Cause(
    "the way readings are taken on the ward", None, "observe a few readings: path, contact, dry skin"
)
EQUIPMENT = Cause(
    "the kind or mode of the ward's instruments", None, "swap instruments with another ward for a week"
)
PATIENTS = Cause("the ward's mix of patients", None, "compare patients who moved between wards")
PATH = Cause("path, contact or damp skin", None, "an observed return demonstration")
PLACE = Cause(
    "the shifts, patients or instruments that go with them", None, "compare on the same instruments"
)
LOGIN = Cause("a log-in used by several people", None, "ask who charts under it")
