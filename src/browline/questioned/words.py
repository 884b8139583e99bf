"""The words for causes, steps and chances; sites have theirs in their rows. Temperatures stand in braces."""

# What a story says of its readings; {site} and {instrument} are put in.
STORIES = {
    "agree": "The readings agree: none is far from the core.",
    "lag": "The {site} is behind: the core has moved, and this site follows slowly.",
    "site": "This patient’s {site} reads otherwise than the core, in every reading there alike.",
    "damp": "A damp or sweating skin read low.",
    "covered": "Covered skin read high.",
    "heat": "Warmth in view of the instrument made one reading too high.",
    "cold": "A cold skin read low.",
    "cold-drink": "A cold drink made the mouth read low.",
    "hot-drink": "A hot drink made the mouth read high.",
    "dirty-lens": "The lens of {instrument} was not clean, so it read low.",
    "other-mode": "{instrument} was in another mode or unit than was thought.",
    "out-of-adjustment": "{instrument} is out of adjustment.",
    "instrument": "{instrument} reads otherwise than others of its kind.",
    "technique": "The technique slipped at one reading: the path, the contact, the time.",
    "gross": "A value that does not belong: keyed wrongly, another patient, another unit.",
    "scatter": "Plain scatter between readings.",
}
# The same causes at one reading, as an end to "it misled: ...".
CAUSES = {
    "lag": "the site lags behind the core",
    "site": "this site reads otherwise in this patient",
    "damp": "damp skin",
    "covered": "covered skin",
    "heat": "heat in the path",
    "cold": "cold skin",
    "cold-drink": "a cold drink",
    "hot-drink": "a hot drink",
    "dirty-lens": "a lens that is not clean",
    "other-mode": "another mode or unit",
    "out-of-adjustment": "an instrument out of adjustment",
    "instrument": "an instrument that reads otherwise",
    "technique": "a slip in technique",
    "gross": "a value that does not belong",
    "scatter": "plain scatter",
}
STEPS = {
    "core-probe": "Read the {site} that is in place.",
    "second-instrument": "Read the same site ({site}) with a second instrument, made ready first.",
    "prepare-and-repeat": "Dry, uncover, clean the lens, and read the same site ({site}) once more.",
    "other-site": "Read another site, the {site}.",
    "repeat-later": "Read the {site} once more after an hour, to see the trend; nothing else waits for it.",
}
