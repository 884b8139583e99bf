"""Kinds of finding of the joint model, and of an instrument's settings: what instruments, wards and people read off."""

from browline.findings.cause import unweighed
from browline.findings.joint_causes import (
    COVERED,
    EQUIPMENT,
    FAULT,
    LENS,
    LOGIN,
    MODE,
    PATH,
    PATIENTS,
    PLACE,
    PRACTICE,
    USE,
)
from browline.findings.kind import Chapter, FindingKind, Source
from browline.findings.subjects import INSTRUMENT, PERSON, WARD

# As found: what a check shows after cleaning says nothing of what was charted before it.
CHECK_AS_FOUND = (
    "Bring a spare, tag this instrument and keep it out of use. Have it checked as found, before it is cleaned; then"
    " clean its lens and have it checked again."
)
SET_AGAINST = (
    "{n} readings{when} were set against {comparator}: they differ by {size} at 37.0 °C (95 % interval {span}),"
    " patients, sites, wards and hours of day allowed for."
)
BY_CLEANING = (
    "{n} readings taken with it were compared by the days since its lens was cleaned, with {comparator}: they change by"
    " {size}{over} (95 % interval {span}), patients, sites, wards and hours of day allowed for."
)
# What tells two subjects apart that are known only together.
TELL_APART = {
    frozenset(("instrument", "ward")): "Swap instruments with another ward for a week, then review again.",
    frozenset(("instrument", "person")): (
        "Let other people use this instrument for a week, then review again."
    ),
    frozenset(("ward", "person")): "Compare after shifts on another ward, then review again.",
}
IF_IN_DOUBT = "If in doubt, bring a spare, tag this instrument and have it checked as found."

ROWS = (
    FindingKind(
        id="instrument-offset",
        title="an instrument reads high or low",
        source=Source.MODEL,
        subjects=(INSTRUMENT,),
        chapter=Chapter.INSTRUMENTS,
        finding="instrument-offset",
        place=10,
        sentence="Instrument {subject} reads {size} against {comparator}{since} ({evidence}).",
        comparator="{comparator}",
        because=SET_AGAINST,
        causes=(LENS, FAULT, MODE, USE),
        action=CHECK_AS_FOUND,
        due_days=7,
        committee="Bring a spare for each, tag it out of use, check it as found, before cleaning: {names}.",
    ),
    FindingKind(
        id="instrument-drift",
        title="an instrument changes between cleanings of its lens",
        source=Source.MODEL,
        subjects=(INSTRUMENT,),
        chapter=Chapter.INSTRUMENTS,
        finding="instrument-drift",
        place=20,
        sentence=(
            "Instrument {subject} {verb} by {size} over the {days} days that its lens usually goes without cleaning,"
            " {per_day} a day (95 % interval {span} over that time, {n} readings)."
        ),
        comparator="itself on the day its lens was cleaned",
        because=BY_CLEANING,
        directions=("rises between cleanings", "sinks between cleanings"),
        alternative=(
            "Too few readings lie within three days of a cleaning to see the jump back that a dirty lens makes, so a"
            " lens is hardly told from ageing. To tell: compare it with a second instrument as found, then clean it and"
            " compare again."
        ),
        causes=(LENS, FAULT, MODE, USE),
        action=CHECK_AS_FOUND,
        due_days=7,
        committee="Bring a spare for each, tag it out of use, check it as found, clean, check again: {names}.",
    ),
    FindingKind(
        id="instrument-mode",
        title="an instrument is set to another mode than the register says",
        source=Source.MODEL,
        subjects=(INSTRUMENT,),
        chapter=Chapter.INSTRUMENTS,
        finding="instrument-mode",
        place=40,
        to_come=True,
        comparator="the mode in the register",
        causes=unweighed(MODE.cause),
        due_days=2,
        committee="Look at the mode setting, with a spare at hand: {names}.",
    ),
    FindingKind(
        id="ward-offset",
        title="readings on a ward differ from other wards’",
        source=Source.MODEL,
        subjects=(WARD,),
        chapter=Chapter.WARDS,
        finding="ward-offset",
        place=50,
        sentence="Readings on {subject} are {size} against {comparator}{since} ({evidence}).",
        comparator="{comparator}",
        because=SET_AGAINST,
        alternative="the chart does not tell patients apart, so the ward's patients may explain it.",
        causes=(COVERED, PRACTICE, EQUIPMENT, PATIENTS),
        action=(
            "Visit the ward and look at how readings are taken, the room, covers, and the kind and mode of its"
            " instruments."
        ),
        committee="Check instruments side by side and observe scans on: {names}.",
        briefly="readings that differ from other wards’",
    ),
    FindingKind(
        id="technique-support",
        title="readings charted by one person differ",
        source=Source.MODEL,
        subjects=(PERSON,),
        chapter=Chapter.PEOPLE,
        finding="technique-support",
        place=60,
        sentence=(
            "Offer {subject} an observed return demonstration: readings charted are {size} against"
            " {comparator}{since} ({evidence})."
        ),
        comparator="{comparator}",
        because=SET_AGAINST,
        causes=(PATH, PLACE, LOGIN),
        action="Offer an observed return demonstration.",
    ),
    FindingKind(
        id="cannot-separate",
        title="subjects whose effects are known only together",
        source=Source.MODEL,
        subjects=(INSTRUMENT, WARD, PERSON),
        finding="cannot-separate",
        place=130,
        sentence=(
            "{subject} or {partner}: cannot tell which. Together they read {size} (95 % interval {span}, {n} readings)."
        ),
        comparator="{comparator}, and likewise for {partner}",
        because=SET_AGAINST,
        action="Swap instruments or people with another ward for a week, then review again.",
        committee="Share instruments between wards for two weeks so that causes part: {names}.",
    ),
)
