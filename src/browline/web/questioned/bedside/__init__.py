"""A questioned reading at the bedside: the approved pathway on a phone, and the switch for the desk's answer."""
