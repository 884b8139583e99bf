"""What the audit asks of fevers: values just under the line, fevers that are missing, values too close together."""

from browline.findings.cause import unweighed
from browline.findings.kind import FindingKind, Source
from browline.findings.subjects import WARD

ROWS = (
    FindingKind(
        id="edge",
        title="too few values just above the fever line, too many just below",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=(
            "{subject}: just above {at} {above} values stand where about {above_expected} would be expected, and just "
            "below {below} instead of about {below_expected}; {share} of those due above the line are not there."
        ),
        size="{share} of {of}",
        denominator="values due just above the line",
        causes=unweighed(
            "a value just over the line is taken again and the lower one charted",
            "an alert at the line that is felt as a burden",
            "a prompt in the form at this value",
        ),
        action=(
            "Ask what happens on the ward when the line is met, and say at the next session: chart both readings, the "
            "first one too; a higher value is acted on until settled."
        ),
        ask="What happens here when a reading meets the fever line?",
        help=(
            "Please chart both readings when one is taken again at the fever line, the first one too. A higher value "
            "is acted on until it is settled."
        ),
        help_place=40,
        whether="whether values are held just under the fever line",
    ),
    FindingKind(
        id="fever-missing",
        title="fewer fevers than wards of its kind",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=(
            "{subject}: {observed} of patients ever meet the fever line where wards of its kind have {expected}, "
            "patients read equally often compared; {share} of the usual fevers are missing."
        ),
        size="{share} of {of}",
        denominator="the fevers that wards of its kind have",
        causes=unweighed(
            "other patients than on wards of its kind",
            "an instrument that reads low, or technique that does",
            "febrile patients are moved elsewhere",
            "readings taken when fever is rarest",
        ),
        action=(
            "Take ten side-by-side readings with a second instrument on the ward, and look at its instruments' figures."
        ),
        ask="Would you expect fewer fevers here than elsewhere?",
        whether="whether there are fewer fevers than on wards of its kind",
    ),
    FindingKind(
        id="narrow-spread",
        title="values closer together than on wards of its kind",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence="{subject}: values lie {share} closer together than on wards of its kind.",
        size="{share} of {of}",
        denominator="the usual spread",
        causes=unweighed(
            "very similar patients",
            "numbers charted from memory",
            "rounding",
            "a form that limits the values",
        ),
        action="Look at a drawn sample of charts with the ward.",
        ask="What could make readings here so much alike?",
        whether="whether values lie closer together than on wards of its kind",
    ),
)
