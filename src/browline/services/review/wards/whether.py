"""What stayed open, as a question: a test's bare title would read as something found."""

WHETHER: dict[str, str] = {
    "value-spike": "whether one value is charted far too often",
    "copied-values": "whether the patient's previous number is charted again",
    "round-batch": "whether the neighbouring patient's number is charted again",
    "edge": "whether values are held just under the fever line",
    "fever-missing": "whether there are fewer fevers than on wards of its kind",
    "narrow-spread": "whether values lie closer together than on wards of its kind",
    "on-the-hour": "whether times are charted on the full hour",
    "pace": "whether more patients are charted in one minute than one person can read",
    "site-missing": "whether readings lack their site",
    "site-unsuited": "whether children under 5 are read by mouth or rectum",
    "site-switching": "whether the site changes within a stay",
    "repeat-too-soon": "whether readings are repeated within half a minute",
    "entry-delay": "whether values are keyed more than an hour after the reading",
    "words": "whether words stand instead of numbers",
    "implausible": "whether there are values no patient can have",
    "instrument-unit": "whether values are charted as if in the other unit",
    "unit-pattern": "which unit the numbers come from",
}
