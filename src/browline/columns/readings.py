"""Readings: charted temperatures."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import INSTRUMENT, PERSON, TIME, UNIT, WARD

CARE = ("ward", "intensive", "emergency", "theatre")

READINGS = ImportKind(
    id="readings",
    title="readings: charted temperatures",
    signs=Signs(rank=2),
    reversible=True,
    columns=(
        Column("time", "time", True, "when the temperature was taken", headings=TIME),
        Column(
            "value", "number", True, "the temperature as charted",
            headings="""
                value, temp, temperature, t, tmp, body temp, body temperature, bodytemp, vital value, result,
                result value, results, result val, reading, obs value, observation value, valuenum, value num,
                numeric value, measure value, meas value, temp value, temperature value, meas, measurement, vs
                temp, vital temp, value numeric, valuequantity, obs result, temp result, temperature result, temp
                reading, temperature reading, score value, flo meas value, tempc, tempf, patient temp, patient
                temperature, pt temp, charted value, charted temp, charted temperature
            """,
        ),
        Column(
            "patient", "identifier", False, "whose it is; a keyed pseudonym before anything is stored",
            headings="""
                patient, patient id, patient no, patient number, patient identifier, patient key, mrn, mrn no,
                pt, pt id, pt no, subject, subject id, person id, pat id, pat mrn id, hospital no, hospital
                number, hosp no, nhs no, nhs number, medical record number, medical record no, unit number, urn,
                ur no, chi, pid, patientid, pat mrn, mrn id, record id, patient mrn
            """,
        ),
        Column(
            "stay", "identifier", False, "which admission or visit; becomes a keyed pseudonym too",
            headings="""
                stay, stay id, visit, visit id, visit no, visit number, encounter, encounter id, encounter no,
                csn, pat enc csn id, enc id, adm, adm id, admission, admission id, admission no, admission
                number, hospitalization id, hospitalisation id, hadm, hadm id, spell, spell id, spell no,
                episode, episode id, episode no, fin, fin no, har, account, account no, icustay id, case id, case
                no, fallnummer
            """,
        ),
        Column("unit", "unit", False, "degrees Celsius or Fahrenheit", choices=("C", "F"), headings=UNIT),
        Column(
            "site", "site", False, "where on the body",
            headings="""
                site, temp site, temperature site, meas site, meas site name, measurement site, site name, body
                site, bodysite, route, temp route, temperature route, source, temp source, temperature source,
                site of measurement, location on body, anatomical site, where taken, taken from, obs site, temp
                src, src, vital site, site of temp, site of temperature
            """,
        ),
        Column(
            "method", "word", False, "how it was taken, where the export says so",
            headings="""
                method, temp method, temperature method, measurement method, technique, how taken, obs method,
                meas method, mode of measurement, temp type, temperature type
            """,
        ),
        Column(
            "instrument", "identifier", False, "which thermometer (asset or serial number)",
            headings=INSTRUMENT,
        ),
        Column("person", "identifier", False, "who charted it; may be a shared log-in", headings=PERSON),
        Column("ward", "word", False, "the ward or unit", headings=WARD),
        Column(
            "care", "closed", False, "kind of care",
            choices=CARE,
            headings="""
                care, care type, care level, level of care, type of care, location category, care category, ward
                type, unit type, location type, specialty type, care setting, setting, acuity level
            """,
            words={
                "intensive": """
                    icu, itu, intensive, intensive care, critical care, critical, ccu, micu, sicu, cvicu, nicu,
                    picu, hdu, high dependency, coronary care, neuro icu, stepdown, step down, imcu
                """,
                "emergency": """
                    ed, er, a&e, ae, emergency, emergency department, emergency room, casualty, accident and
                    emergency, urgent care, emergency dept
                """,
                "theatre": """
                    or, ot, theatre, theater, operating room, operating theatre, procedural, pacu, recovery,
                    surgery suite, periop, perioperative, procedure
                """,
                "ward": """
                    ward, floor, inpatient, acute, acute care, general, general ward, med surg, medical,
                    surgical, telemetry, general care, medsurg
                """,
            },
        ),
        Column(
            "age", "number", False, "age in years; 90 and over is kept as 90",
            headings="""
                age, age years, age yrs, patient age, age at admission, age in years, anchor age, age at visit,
                pt age, age at event, age y
            """,
        ),
        Column(
            "entered", "time", False, "when it was keyed",
            headings="""
                entered, entered at, entry time, entered time, entry date, storetime, store time, filed, filed
                at, file time, filing time, filed time, documented, documented at, documented time, documentation
                time, keyed, keyed at, saved, saved at, created, created at, created time, validated time,
                charted dttm, entry datetime, entry instant, entry dttm, entered dttm, entered date time, entered
                datetime, time entered, date entered, system time, updated, updated at, valid from dt tm
            """,
        ),
        Column(
            "note", "word", False, "remarks; read for flags, never stored",
            headings="""
                note, notes, comment, comments, remark, remarks, meas comment, free text, annotation, status, obs
                status, result status, reading status, flag, comment text
            """,
        ),
    ),
)  # fmt: skip
