"""What the audit asks of the values of a ward: were they measured?"""

from browline.findings.cause import Cause, unweighed
from browline.findings.kind import FindingKind, Source
from browline.findings.subjects import WARD

ROUNDING = Cause("rounding to a whole or half degree", None)

ROWS = (
    FindingKind(
        id="value-spike",
        title="one value charted far too often",
        titled="one value charted far too often ({at})",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="value-spike",
        place=70,
        sentence=(
            "{subject}: {at} was charted {times} times in {n}, where {usual}; these are unlikely to have all been"
            " measured: {share} too many.{also}{step}"
        ),
        comparator="a smooth curve through the ward's other values, unit conversion allowed for",
        size="{share} of {n} {of}{which}",
        causes=(
            *unweighed(
                "the form offers this value by default or carries the last one forward",
                "no instrument at hand: too few for the beds, missing, or without power",
                "workload: numbers charted from memory after the round",
            ),
            ROUNDING,
        ),
        action=(
            "Ask the ward how a temperature gets into the form and whether an instrument is at hand on every round, "
            "bring a spare if not, and look at a drawn sample of charts together."
        ),
        ask="How does a temperature get into the form, and was an instrument at hand?",
        help=(
            "Please show us how a temperature gets into the form, and tell us each time an instrument is not at hand: "
            "we bring a spare. Where a patient cannot be read, “not taken” with the reason is a full answer."
        ),
        help_place=10,
        committee="Ask why one value is charted so often (form default, missing instrument?): {names}.",
        whether="whether one value is charted far too often",
        briefly="one value charted unusually often",
        unmeasured=True,
    ),
    FindingKind(
        id="copied-values",
        title="the patient's previous number charted again",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="copied-values",
        place=80,
        sentence=(
            "{subject}: {observed} of readings repeat the patient's last number, where {expected} would be expected; "
            "{share} are unlikely to have been measured anew."
        ),
        comparator="how often the patient's next reading lies a tenth or two away",
        denominator="successive readings of a patient",
        causes=unweighed(
            "the form shows or carries forward the last value",
            "no instrument at hand",
            "patient asleep, in isolation or off the ward",
            "workload",
        ),
        action=(
            "Ask whether the form carries values forward, and what the ward does when a patient cannot be read: "
            '"not taken" with the reason is a full answer.'
        ),
        ask="What is charted when a patient cannot be read just now?",
        help=(
            "Please tell us whether the form carries the last value forward. Where a patient cannot be read, "
            "“not taken” with the reason is a full answer."
        ),
        help_place=20,
        committee="Ask what makes repeated values likely (workload, missing instrument?): {names}.",
        whether="whether the patient's previous number is charted again",
        briefly="values unlikely to have been measured each time",
        unmeasured=True,
    ),
    FindingKind(
        id="round-batch",
        title="the neighbouring patient's number charted again",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="round-batch",
        place=90,
        sentence=(
            "{subject}: {observed} of readings equal the neighbour's in the same round, where {expected} would be "
            "expected; {share} are unlikely to have been measured one by one."
        ),
        comparator="how often neighbours in a round lie a tenth or two apart",
        denominator="neighbouring readings of a round",
        causes=unweighed(
            "the round is keyed from a paper list afterwards",
            "the form copies a row to the next",
            "one instrument for many beds",
            "workload",
        ),
        action=(
            "Look at one round with the ward: where are numbers noted between bedside and chart, and is there an "
            "instrument for each round? Bring a spare if not."
        ),
        ask="Where are numbers noted between the bedside and the chart?",
        help=(
            "Please show us one round: where numbers are noted, and whether there is an instrument for each round. "
            "We bring a spare if not."
        ),
        help_place=30,
        committee="Ask how rounds are charted, and when: {names}.",
        whether="whether the neighbouring patient's number is charted again",
        briefly="rounds unlikely to have been measured one by one",
        unmeasured=True,
    ),
)
