"""What the audit asks of how a ward charts: times, sites, repeats and delays."""

from browline.findings.cause import unweighed
from browline.findings.kind import FindingKind, Source
from browline.findings.subjects import WARD

COUNTED = "{subject}: {share}, {count} of {n} {of}, "

ROWS = (
    FindingKind(
        id="on-the-hour",
        title="times charted on the full hour",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=(
            "{subject}: {observed} of times stand on the full hour; {share} more than the other marks of five minutes "
            "explain."
        ),
        denominator="times",
        causes=unweighed(
            "the form has one column an hour",
            "the system files at the planned time",
            "times keyed afterwards",
        ),
        action=(
            "Ask whether the form can keep the minute of the reading; until then pace and quick repeats cannot be "
            "judged."
        ),
        ask="Does the form offer the minute, or only the hour?",
        help=(
            "Please chart the minute of the reading where the form lets you, and tell us if it offers only the hour."
        ),
        help_place=130,
        whether="whether times are charted on the full hour",
    ),
    FindingKind(
        id="pace",
        title="more patients in one minute than one person can read",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=COUNTED + "were charted faster than one person can read: three patients within a minute.",
        denominator="readings that say who charted",
        causes=unweighed(
            "a shared log-in",
            "a round keyed together afterwards",
            "a monitor or gateway that files many patients at once",
        ),
        action="Ask how a round is keyed; if it is keyed afterwards, agree to key the time of the reading.",
        ask="How is a round keyed?",
        help="Please tell us how a round is keyed. If that is done afterwards, key the time of the reading.",
        help_place=120,
        whether="whether more patients are charted in one minute than one person can read",
        small_counts=True,
    ),
    FindingKind(
        id="site-missing",
        title="readings without a site",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="site-missing",
        place=100,
        sentence=COUNTED + "are charted without a site that can be told.",
        causes=unweighed(
            "the form does not ask for the site",
            "a short word that could mean two sites",
            "workload",
        ),
        action=(
            "Look at the charting form with the ward: make the site a choice, and say at hand-over which words are "
            "used."
        ),
        ask="Does the form ask for the site?",
        help="Please chart the site with every temperature, and tell us if the form does not ask for it.",
        help_place=80,
        committee="Chart the site with every temperature; look at the form: {names}.",
        whether="whether readings lack their site",
        briefly="readings without a site",
        small_counts=True,
    ),
    FindingKind(
        id="site-unsuited",
        title="oral or rectal readings of children under 5",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=COUNTED + "were taken by mouth or rectum.",
        denominator="readings of children under 5",
        causes=unweighed(
            "ordered by a clinician for this child",
            "local policy differs",
            "age or site mis-keyed",
            "the form's first choice left standing",
        ),
        action="Compare with the local policy for children under 5; it decides.",
        ask="What does the local policy say for this age?",
        help="Please compare with the local policy for children under 5; it decides.",
        help_place=90,
        whether="whether children under 5 are read by mouth or rectum",
        small_counts=True,
    ),
    FindingKind(
        id="site-switching",
        title="the site changed within a stay",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=(
            "{subject}: the site changes at {observed} of a patient's successive readings, where {expected} is usual; "
            "{share} more."
        ),
        denominator="successive readings of a stay",
        causes=unweighed(
            "a doubted reading confirmed elsewhere",
            "the usual site out of reach (dressing, damp, surgery)",
            "the nearest instrument decides",
            "the form's first choice left standing",
        ),
        action=(
            "Say at the next session: keep to one site for a patient's trend, change it for a reason and chart the "
            "reason."
        ),
        ask="What decides the site from one reading to the next?",
        help="Please keep to one site for a patient’s trend; change it for a reason, and chart the reason.",
        help_place=100,
        whether="whether the site changes within a stay",
        compared=True,
    ),
    FindingKind(
        id="repeat-too-soon",
        title="repeats within half a minute",
        source=Source.AUDIT,
        subjects=(WARD,),
        finding="repeat-too-soon",
        place=110,
        sentence=COUNTED + "were repeated on the same patient within half a minute.",
        causes=unweighed(
            "a retake of a doubted value",
            "two readings charted together",
            "re-sent rows with new times",
        ),
        action=(
            "Remind at the next session: wait about half a minute before a repeat, the first scan cools the skin."
        ),
        ask="How long do you wait before a repeat?",
        help=(
            "Please wait about half a minute before a repeat, or as the instrument’s instructions say: the first scan "
            "cools the skin."
        ),
        help_place=70,
        committee="Teach the wait before a repeat reading: {names}.",
        whether="whether readings are repeated within half a minute",
        briefly="repeats too soon",
        small_counts=True,
    ),
    FindingKind(
        id="entry-delay",
        title="values keyed more than an hour after the reading",
        source=Source.AUDIT,
        subjects=(WARD,),
        sentence=COUNTED + "were keyed more than an hour later.",
        denominator="readings that say when keyed",
        causes=unweighed(
            "no computer at the bedside",
            "workload",
            "the system was down",
            "paper first by local policy",
        ),
        action="Ask what stands between the bedside and the keyboard; nobody can act on a value not yet keyed.",
        ask="What stands between reading and keying?",
        help=(
            "Please tell us what stands between the bedside and the keyboard: nobody can act on a value that is not "
            "yet keyed."
        ),
        help_place=110,
        whether="whether values are keyed more than an hour after the reading",
        small_counts=True,
    ),
)
