"""Every patient the chooser can be asked about, and the site card read by hand: a slow, obvious twin of `solve`."""

from itertools import product

from browline.site_choice import AGES, FLAGS, ISOLATIONS, TICKS, Patient
from browline.site_choice.card import ANY_SCAN, EVERY
from browline.site_choice.flags import SHORT_FLAGS, SHORT_SITES

# What "any scan" on the card means to its reader: every way of scanning skin with the artery instrument.
SCANS = {"forehead", "forehead, then earlobe", "earlobe alone", "groin", "side of the chest"}


def patients():
    """4 ages × 4 kinds of isolation × every set of the ticks."""
    words = list(TICKS)
    sets = [
        frozenset(word for word, held in zip(words, bits, strict=True) if held)
        for bits in product((0, 1), repeat=len(words))
    ]
    for age, isolation in product(AGES, ISOLATIONS):
        for ticks in sets:
            yield Patient(age, isolation, ticks)


class Reader:
    """Somebody with the card in hand, who knows nothing but the words on it."""

    def __init__(self, parts):
        self.parts = {}
        for part in parts:
            assert (part.how == EVERY) == (part.title in ("First", "Not to use", "Wait", "Heed"))
            self.parts[part.title] = [
                (frozenset(line.when), [frozenset(group) for group in line.unless], _sites(line), line)
                for line in part.lines
            ]
        self.words = {
            title: (
                frozenset().union(*(when for when, _, _, _ in lines)),
                frozenset().union(*(group for _, unless, _, _ in lines for group in unless)),
            )
            for title, lines in self.parts.items()
        }
        self.read = {}

    def __call__(self, facts):
        """The rules taken, part by part: first, site, fallbacks, not to use, cover, lens, case, wait, heed."""
        long = frozenset(FLAGS[fact] for fact in facts)
        short = frozenset(SHORT_FLAGS[fact] for fact in facts)
        site = self._first("Site", long, short)
        here = set(site.sites)
        instead = self._one_after_the_other("If that cannot be done", long, short, here)
        used = here | set(instead[0].sites if instead else ())
        return {
            "site": site.rule.id,
            "fallbacks": [line.rule.id for line in instead],
            "ruled_out": [line.rule.id for line in self._fitting("Not to use", long, short, None)],
            "cover": self._first_about("Cover", long, short, here),
            "lens": self._first_about("Cleaning the lens", long, short, here),
            "case": self._first_about("Cleaning the case", long, short, here),
            "waits": [line.rule.id for line in self._fitting("Wait", long, short, used)],
            "cautions": [line.rule.id for line in self._fitting("Heed", long, short, used)],
            "emergencies": [line.rule.id for line in self._fitting("First", long, short, None)],
        }

    def _fitting(self, title, long, short, sites):
        """The lines whose words all hold, of which no group after "not if" holds, and that are about these sites."""
        for about, line in self._holding(title, long, short):
            if sites is None or not about or about & sites:
                yield line

    def _holding(self, title, long, short):
        """The lines whose words hold; read once for each set of words that the part speaks of."""
        whens, excepts = self.words[title]
        case = (title, long & whens, short & excepts)
        if case not in self.read:
            self.read[case] = [
                (about, line)
                for when, unless, about, line in self.parts[title]
                if when <= long and not any(group <= short for group in unless)
            ]
        return self.read[case]

    def _first(self, title, long, short):
        return next(self._fitting(title, long, short, None), None)

    def _one_after_the_other(self, title, long, short, tried):
        """Down the lines that fit, leaving out sites that were tried."""
        tried, found = set(tried), []
        for line in self._fitting(title, long, short, None):
            if not set(line.sites) & tried:
                found.append(line)
                tried |= set(line.sites)
        return found

    def _first_about(self, title, long, short, sites):
        return next(self._fitting(title, long, short, sites)).rule.id


def _sites(line):
    return SCANS if line.sites == (ANY_SCAN,) else set(line.sites)


def taken(choice):
    """The rules of an answer in the form of the reader's."""
    return {
        "site": choice.site.id,
        "fallbacks": [rule.id for rule in choice.fallbacks],
        "ruled_out": [rule.id for rule in choice.ruled_out],
        "cover": choice.cover.id,
        "lens": choice.lens.id,
        "case": choice.case.id,
        "waits": [rule.id for rule in choice.waits],
        "cautions": [rule.id for rule in choice.cautions],
        "emergencies": [rule.id for rule in choice.emergencies],
    }


assert set(SHORT_SITES.values()) >= SCANS
