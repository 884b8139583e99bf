"""Cleanings of thermometers."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import INSTRUMENT, PERSON, TIME

PARTS = ("lens", "case")

CLEANINGS = ImportKind(
    id="cleanings",
    title="cleanings of thermometers",
    answers="Whether an instrument reads higher after its lens was cleaned.",
    signs=Signs(
        rank=3, headings=("instrument",),
        words="clean cleaned cleaning cleanings wipe wiped agent part lens disinfectant disinfected",
    ),
    identity=("instrument", "time", "part"),
    columns=(
        Column("instrument", "identifier", True, "which thermometer", headings=INSTRUMENT),
        Column("time", "time", True, "when it was cleaned", headings=TIME),
        Column(
            "part", "closed", False, "lens or case",
            choices=PARTS,
            headings="part, part cleaned, what cleaned, cleaned part, component",
            words={
                "lens": "lens, lense, optic, optics, window, probe lens, sensor, lens only",
                "case": "case, body, housing, casing, shell, outside, handle, exterior, surface",
            },
        ),
        Column(
            "agent", "word", False, "what it was cleaned with",
            headings="agent, cleaning agent, cleaned with, wipe, wipe type, product, disinfectant, solution, with",
        ),
        Column("person", "identifier", False, "who cleaned it", headings=PERSON),
    ),
)  # fmt: skip
