"""What may come of a finding once it was looked into, and what that means for it."""

OUTCOMES: dict[str, str] = {
    "within-limits": "checked: within limits",
    "out-of-limits": "checked: out of limits",
    "lens-cleaned": "lens cleaned",
    "mode-changed": "mode changed",
    "unit-changed": "unit changed",
    "replaced": "replaced",
    "not-found": "instrument not found",
    "no-fault-found": "no fault found",
    "form-changed": "charting form changed",
    "instruments-brought": "instruments brought",
}

# What a check has to show to confirm a flag, what counts as a check at all, what clears the flag, what ends the matter.
CONFIRMING = ("out-of-limits", "mode-changed", "unit-changed")
CLEARING = ("within-limits", "no-fault-found")
CHECKED = CONFIRMING + CLEARING
CLOSING = (*CLEARING, "mode-changed", "unit-changed", "replaced", "form-changed")

NEXT_AFTER: dict[str, str] = {
    "instruments-brought": "Look at the ward's weeks after the next export; if nothing has changed, ask again.",
    "out-of-limits": "Keep the spare in use, have this instrument repaired or replaced, then enter that here.",
    "lens-cleaned": "Compare it with a second instrument the same day, and enter what that check shows.",
    "not-found": "Keep a spare on the ward and look for it on the next instrument round; it may be in use elsewhere.",
}
