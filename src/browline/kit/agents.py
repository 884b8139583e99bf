"""Which cleaning agents etch a lens for good: bleach and quaternary wipes (common practice, no source)."""

ETCHING = ("bleach", "hypochlor", "chlorine", "quat", "benzalkonium", "didecyl", "ammonium chloride")


def etches(agent: str, part: str) -> bool:
    """Whether this agent on this part is said to etch the lens. The case takes any approved disinfectant.

    >>> etches("Bleach wipe", "lens"), etches("bleach wipe", "case"), etches("alcohol swab", "lens")
    (True, False, False)
    """
    return part != "case" and any(word in agent.casefold() for word in ETCHING)
