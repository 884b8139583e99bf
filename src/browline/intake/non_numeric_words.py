"""Words that stand in temperature cells instead of a number, or beside one.

Common practice, no source: what instruments display and what people type. Each is a fact about practice.
"""

import re
import unicodedata


def word_set(text: str) -> frozenset[str]:
    """The words of a text as a set: how this room writes its vocabularies.

    >>> sorted(word_set("lens case"))
    ['case', 'lens']
    """
    return frozenset(text.split())


DASHES = frozenset({"-", "--", "---", "–", "—", "−", ".", "..", "...", "_", "/", "*", "?"})

SHEET_ERRORS = ("#ref!", "#n/a", "#value!", "#div/0!", "#name?", "#null!", "#num!", "#getting_data")

INSTEAD: dict[str, tuple[str, ...]] = {
    "reads-lo": ("lo", "low", "l0", "below range", "under range", "lo temp", "reads lo", "reads low"),
    "reads-hi": ("hi", "high", "above range", "over range", "hi temp", "reads hi", "reads high"),
    "refused": ("refused", "refuse", "refusal", "ref", "declined", "pt refused", "patient refused",
                "pt declined", "patient declined", "refused by patient", "declines"),
    "asleep": ("asleep", "sleeping", "sleep", "pt asleep", "patient asleep", "slept", "zzz"),
    "off-ward": ("off ward", "off unit", "off floor", "out of ward", "in theatre", "theatre", "at theatre",
                 "in or", "x ray", "at x ray", "away", "absent", "on leave", "not on ward", "off the ward",
                 "pt off ward", "at scan", "in radiology", "dialysis", "out"),
    "not-done": ("not done", "nd", "not taken", "unable", "unable to obtain", "uto", "missed", "omitted",
                 "not recorded", "nr", "na", "n a", "none", "nil", "null", "nan", "not assessed", "unknown",
                 "not applicable", "no temp", "not obtained", "no thermometer", "no equipment", "not available",
                 "deferred", "x", "rip", "deceased", "died", "expired", "<na>"),
}  # fmt: skip

BESIDE = word_set(
    "h l hh ll hi lo high low repeat repeated recheck rechecked retake retaken checked again approx "
    "about  circa ca manual manually rpt x scan scanned reading site route via by artery the of to at "
    "asleep sleeping temp temperature t tmp"
)

_REASON_OF = {word: reason for reason, words in INSTEAD.items() for word in words}
_ERROR = re.compile(
    r"e(rr?(or)?)?[ -]?\d{0,2}|error.{0,12}|probe off|sensor off|no signal|battery|lobat|fault"
)


def plain(text: str) -> str:
    """Text in small letters, compatibility forms folded, spaces single, mended where a degree sign broke.

    >>> plain("36.5\u00c2\u00b0C "), plain("３６．５")
    ('36.5°c', '36.5')
    """
    folded = unicodedata.normalize("NFKC", text.replace("º", "°").replace("˚", "°").replace("\u00c2°", "°"))
    return " ".join(folded.replace("\ufffd", "°").replace("\u2212", "-").casefold().split())


def reason_without_number(text: str) -> str | None:
    """The reason code of a cell that holds a known word in place of a number; None where it holds none.

    >>> reason_without_number("Pt. refused"), reason_without_number("Err 3"), reason_without_number("36.5")
    ('refused', 'reads-err', None)
    """
    cell = plain(text)
    if not cell:
        return "no-value"
    if cell in DASHES or not cell.strip("-–—_. "):
        return "dash"
    if cell.startswith(SHEET_ERRORS):
        return "sheet-error"
    if re.fullmatch(_ERROR, cell):
        return "reads-err"
    return _REASON_OF.get(" ".join(re.sub(r"[^\w<>]|_", " ", cell).split()))
