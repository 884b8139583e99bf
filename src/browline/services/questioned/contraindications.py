"""Which sites must not be used for this patient, by the site and cover rules of this book.

The rules speak of how a site is read; here it is the site that counts. A damp forehead is not barred: drying it is a
step of its own, so dampness is asked as a question and not as a contraindication.
"""

from dataclasses import dataclass

from browline.errors import InputRefused
from browline.questioned.problem import AGES as COURSE_AGES
from browline.questioned.problem import READ_SITES
from browline.services.questioned.guards import IMMUNE
from browline.site_choice import TICKS, Patient, Rule, solve

# What is asked about risks and contraindications; the rest of what the rules know is asked as a question or follows.
# That of immune suppression bars no site: no rule asks for it.
FLAGS: dict[str, str] = {
    "neutropenia": TICKS["neutropenia"],
    IMMUNE: "any other immune suppression: chemotherapy, a transplant, drugs against the immune system",
    **{
        word: TICKS[word]
        for word in ("no-oral", "no-rectal", "forehead-injury", "bandaged", "head-out-of-reach")
    },
}
# One age, asked once: in words, then as the room has it, then as the rules have it.
AGES: dict[str, tuple[str, str, str]] = {
    "under-4-weeks": ("under 4 weeks", "under-3-months", "under-4-weeks"),
    "4-weeks-3-months": ("4 weeks to 3 months", "under-3-months", "4-weeks-3-months"),
    "3-12-months": ("3 to 12 months", "3-12-months", "3-months-5-years"),
    "1-4-years": ("1 to 4 years", "1-17-years", "3-months-5-years"),
    "5-17-years": ("5 to 17 years", "1-17-years", "5-years-up"),
    "adult": (COURSE_AGES["adult"], "adult", "5-years-up"),
    "65-up": (COURSE_AGES["65-up"], "65-up", "5-years-up"),
}


@dataclass(frozen=True)
class Heeded:
    """`contraindications`: site -> why it must not be used. `emergencies`: what is said before any number."""

    contraindications: dict[str, str]
    emergencies: tuple[Rule, ...]


def heeded(age: str, flags: frozenset[str], rules: tuple[Rule, ...]) -> Heeded:
    """What the rules say of a patient of this age (a word of `AGES`) with these flags (words of `TICKS`)."""
    choice = solve(Patient(AGES[age][2], ticks=flags - {IMMUNE}), rules)
    contraindications: dict[str, str] = {}
    for rule in choice.ruled_out:
        for site in rule.sites:
            if site in READ_SITES:
                contraindications.setdefault(site, _why(rule))
    return Heeded(contraindications, choice.emergencies)


def check_flags(flags: frozenset[str]) -> None:
    """Refuse a contraindication that is not asked about."""
    for word in sorted(flags - set(FLAGS)):
        raise InputRefused(
            f"The contraindication is {word!r}.", f"Known are {', '.join(FLAGS)}.", "Choose of these."
        )


def _why(rule: Rule) -> str:
    return f"{rule.says} {rule.why}".strip()
