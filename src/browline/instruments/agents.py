"""Agents held to cause lens damage: bleach and quaternary ones.

Taught, no source found; the instrument's instructions decide.
"""

DAMAGING = ("bleach", "hypochlor", "chlorine", "quat", "benzalkonium", "didecyl", "ammonium chloride")


def damages_lens(agent: str, part: str) -> bool:
    """Whether this agent is held to cause lens damage there; a case is judged by infection control.

    >>> damages_lens("Bleach wipe", "lens"), damages_lens("bleach wipe", "case"), damages_lens("alcohol swab", "lens")
    (True, False, False)
    """
    return part != "case" and any(word in agent.casefold() for word in DAMAGING)
