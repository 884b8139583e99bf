"""Names of nobody: given names and made-up surnames, each pair once."""

from itertools import product

from browline.synthetic.arrays import Generator, Texts, texts

GIVEN = (
    *("Abena", "Bram", "Ceri", "Dalia", "Emeka", "Farah", "Gwen", "Hana", "Idris", "Jonas", "Keziah", "Lior"),
    *("Mina", "Nils", "Oona", "Priya", "Rafe", "Soraya", "Tomas", "Una", "Vera", "Wren", "Yusuf", "Zosia"),
)
FIRST = (
    *("Alder", "Brack", "Cope", "Dun", "Elm", "Fen", "Gar", "Hazel", "Ivel", "Kel", "Lar", "Mer", "Nor"),
    *("Oken", "Pel", "Quill", "Row", "Sel", "Thorn", "Wil"),
)
LAST = ("combe", "den", "fold", "gate", "hurst", "ley", "mere", "shaw", "stead", "wick")


def make_names(n: int, rng: Generator) -> Texts:
    """`n` different names; there are 4,800, and a larger house numbers them on."""
    pairs = [f"{given} {first}{last}" for given, first, last in product(GIVEN, FIRST, LAST)]
    chosen = rng.permutation(len(pairs))
    return texts([_numbered(pairs[chosen[k % len(pairs)]], k // len(pairs)) for k in range(n)])


def _numbered(name: str, times: int) -> str:
    return name if times == 0 else f"{name} {times + 1}"
