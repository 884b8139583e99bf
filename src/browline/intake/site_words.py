"""The site a charted word means, with misspellings and device words; a word with two meanings is unknown.

The word itself is kept only where it belongs to a closed vocabulary of anatomy and equipment, because a
column mapped to `site` by mistake could hold names.
"""

import difflib
from functools import lru_cache

from browline.intake.non_numeric_words import plain, word_set
from browline.quantities.sites import AMBIGUOUS_WORDS, SITE_WORDS, UNKNOWN, plain_word

_SITE_OF = {word: site for site, words in SITE_WORDS.items() for word in words}
_LONGEST = max(len(word.split()) for word in _SITE_OF)
_KEPT = frozenset(AMBIGUOUS_WORDS) | word_set(
    "none unknown blank device monitor sensor scanner infrared ir digital electronic thermometer "
    "contact  surface nasal nose airway brain myocardial finger toe foot hand head arm leg cable "
    "unspecified  manual touchless non noncontact forehead temp temperature core skin probe artery scan"
)
_SHORTEST_MISSPELT = 5
_ALIKE = 0.84


@lru_cache(maxsize=20_000)
def read_site(text: str) -> tuple[str, str]:
    """The site a text means and, where it is unknown, the word to count ("" where blank).

    >>> read_site("Temporal Artery"), read_site("Esophogeal"), read_site("T"), read_site("Smith, J")
    (('temporal', ''), ('oesophageal', ''), ('unknown', 't'), ('unknown', '(another word)'))
    """
    word = plain_word(plain(text))
    if not word:
        return UNKNOWN, ""
    sites = _sites_in(word)
    if len(sites) == 1:
        return sites.pop(), ""
    return UNKNOWN, _allowed_words(word, several=len(sites) > 1)


def _sites_in(word: str) -> set[str]:
    """Every site named in a text, longest phrase first, so that "behind ear" is not also "ear"."""
    if word in _SITE_OF:
        return {_SITE_OF[word]}
    words, sites = word.split(), set()
    for size in range(_LONGEST, 0, -1):
        start = 0
        while start + size <= len(words):
            phrase = " ".join(words[start : start + size])
            site = _SITE_OF.get(phrase) or (_misspelt(phrase) if size == 1 else None)
            if site:
                sites.add(site)
                del words[start : start + size]
            else:
                start += 1
    return sites


def _misspelt(word: str) -> str | None:
    """The site of a long word that is nearly one of ours ("esophogeal"); None where two sites are as near."""
    if len(word) < _SHORTEST_MISSPELT or not word.isalpha():
        return None
    near = difflib.get_close_matches(word, _SITE_OF, n=3, cutoff=_ALIKE)
    sites = {_SITE_OF[w] for w in near}
    return sites.pop() if len(sites) == 1 else None


def _allowed_words(word: str, *, several: bool) -> str:
    if several:
        return "(more than one site)"
    known = [w for w in word.replace("-", " ").split() if w in _KEPT]
    return " ".join(known) if known else "(another word)"
