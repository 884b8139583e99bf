"""Checks of thermometers against a reference."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import INSTRUMENT, MODE, MODE_WORDS, MODES, PERSON, TIME, UNIT

CHECKS = ImportKind(
    id="checks",
    title="checks of thermometers against a reference",
    answers="What checks against a reference say beside what the chart says.",
    signs=Signs(rank=1, headings=("instrument", "reference", "shown")),
    identity=("instrument", "time", "reference", "shown"),
    columns=(
        Column("instrument", "identifier", True, "which thermometer", headings=INSTRUMENT),
        Column("time", "time", True, "when it was checked", headings=TIME),
        Column(
            "reference", "number", True, "what the reference showed",
            headings="""
                reference, ref, reference temp, reference temperature, reference value, ref temp, ref
                temperature, ref value, blackbody, black body, standard, true, true value, target, bath, bath
                temp, nominal, set point, setpoint, source temp, source temperature
            """,
        ),
        Column(
            "shown", "number", True, "what the thermometer showed",
            headings="""
                shown, displayed, display, reading, indicated, indication, device reading, thermometer reading,
                instrument reading, measured, measured value, dut, uut, observed, value shown, result, test
                reading, as found, value, temp, temperature
            """,
        ),
        Column("unit", "unit", False, "unit of both", choices=("C", "F"), headings=UNIT),
        Column("mode", "closed", False, "the mode it was checked in", choices=MODES, headings=MODE, words=MODE_WORDS),
        Column(
            "ambient", "number", False, "room temperature",
            headings="""
                ambient, ambient temp, ambient temperature, room temp, room temperature, room, lab temp,
                environment
            """,
        ),
        Column(
            "uncertainty", "number", False, "expanded uncertainty of the reference",
            headings="""
                uncertainty, u, expanded uncertainty, uncertainty k 2, ref uncertainty, reference uncertainty, mu
            """,
        ),
        Column(
            "result", "word", False, "what the checker concluded",
            headings="result, outcome, conclusion, pass fail, verdict, status, pass, decision",
        ),
        Column("person", "identifier", False, "who checked it", headings=PERSON),
    ),
)  # fmt: skip
