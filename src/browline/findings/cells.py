"""What the audit asks of cells that are no plain temperature: words, impossible values, the other unit."""

from browline.findings.cause import unweighed
from browline.findings.charting import COUNTED
from browline.findings.kind import Chapter, FindingKind, Source
from browline.findings.subjects import INSTRUMENT, WARD

ROWS = (
    FindingKind(
        id="words",
        title="words instead of numbers",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=COUNTED + "hold words instead of a number.",
        denominator="rows",
        causes=unweighed(
            "the form takes any text",
            "a reading that was not possible, honestly said",
            "the instrument's LO or HI",
        ),
        action="Thank the ward for charting reasons, and ask for a choice list so that they can be counted.",
        ask="Would a choice list of reasons help?",
        help="Thank you for charting reasons. Please tell us which ones a choice list should hold.",
        help_place=140,
        whether="whether words stand instead of numbers",
        small_counts=True,
    ),
    FindingKind(
        id="implausible",
        title="values no patient can have",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="implausible",
        place=120,
        sentence=COUNTED + "hold values that cannot be body temperatures as charted.",
        denominator="rows",
        causes=unweighed(
            "typing slip",
            "a lost decimal point",
            "another measurement in the temperature field",
            "the instrument's LO or HI",
        ),
        action=(
            "Ask for a prompt in the form when a value is out of range, and look at a few of the rows with the ward."
        ),
        ask="Does the form ask back when a value is out of range?",
        help="Please tell us whether the form asks back when a value is out of range.",
        help_place=60,
        committee="Prompt for a second reading at implausible values: {names}.",
        whether="whether there are values no patient can have",
        small_counts=True,
    ),
    FindingKind(
        id="instrument-unit",
        title="values charted as if in the other unit",
        source=Source.AUDIT,
        subjects=(INSTRUMENT, WARD),
        chapter=Chapter.INSTRUMENTS,
        finding="instrument-unit",
        place=30,
        sentence=COUNTED + "were charted as if in the other unit.",
        causes=unweighed(
            "set to the other unit",
            "used on a ward that charts in the other unit",
            "swapped with another instrument",
        ),
        action="Look at its display; if it shows the other unit, bring a spare while it is set right.",
        due_days=0,
        ask="Which unit does its display show?",
        help=(
            "Please look at the displays and tell us which instrument shows the other unit: we bring a spare while it "
            "is set right."
        ),
        help_place=50,
        committee="Look at the unit setting, with a spare at hand: {names}.",
        whether="whether values are charted as if in the other unit",
    ),
    FindingKind(
        id="unit-pattern",
        title="which unit the numbers come from",
        source=Source.AUDIT,
        subjects=(INSTRUMENT,),
        finding="instrument-unit",
        sentence=(
            "{subject}: its numbers come from {units} ({chance} sure, {n} readings); the register says otherwise."
        ),
        comparator="the unit in the register",
        size="its numbers come from {units}",
        quiet="Its numbers come from {units}, as expected.",
        causes=unweighed(
            "the register is out of date",
            "set to the other unit",
            "swapped with another instrument",
        ),
        action="Look at its display and put the register or the setting right; bring a spare while it is seen to.",
        ask="Which unit does its display show?",
        whether="which unit the numbers come from",
    ),
)
