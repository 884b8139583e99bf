"""Instruments: the register of thermometers."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import FROM, INSTRUMENT, MODE, MODE_WORDS, MODES, UNIT, UNTIL, WARD

INSTRUMENT_KINDS = ("forehead-scan", "ear", "contact", "probe")

INSTRUMENTS = ImportKind(
    id="instruments",
    title="instruments: the register of thermometers",
    answers="Which instruments of the register are in use, and their unit and mode.",
    signs=Signs(
        rank=6, headings=("instrument",), any_column=("unit", "mode", "kind", "model", "ward", "from", "until")
    ),
    identity=("instrument", "unit", "mode", "kind", "model", "ward", "from", "until"),
    columns=(
        Column(
            "instrument", "identifier", True, "which thermometer (asset or serial number)",
            headings=INSTRUMENT,
        ),
        Column("unit", "unit", False, "the unit it is set to", choices=("C", "F"), headings=UNIT),
        Column("mode", "closed", False, "what its number stands for", choices=MODES, headings=MODE, words=MODE_WORDS),
        Column(
            "kind", "closed", False, "what sort of thermometer",
            choices=INSTRUMENT_KINDS,
            headings="kind, type, device type, instrument type, thermometer type, category, equipment type, class",
            words={
                "forehead-scan": """
                    forehead scan, forehead-scan, forehead, temporal, temporal artery, temporal scanner, temporal
                    artery thermometer, tat, ta, artery scanner, scanner
                """,
                "ear": "ear, tympanic, tymp, aural, infrared ear, ir ear",
                "contact": """
                    contact, electronic, digital, oral, predictive, oral axillary, electronic contact, stick
                """,
                "probe": "probe, core probe, foley, bladder, oesophageal, esophageal, catheter, continuous",
            },
        ),
        Column(
            "model", "word", False, "the model, as on its label",
            headings="model, model name, model no, model number, make model, device model, type model",
        ),
        Column("ward", "word", False, "its home ward", headings=WARD),
        Column("from", "date", False, "in use from", headings=FROM),
        Column("until", "date", False, "in use until", headings=UNTIL),
    ),
)  # fmt: skip
