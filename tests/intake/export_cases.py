"""Exports in the habits of different systems, all made up for these tests, and what each column should be.

A case: kind, {heading: cells}, {canonical column: heading}, unit of the whole file or None.
"""

from typing import NamedTuple

T = ["2026-03-07 10:05", "2026-03-07 14:10", "2026-03-08 02:20"]
D, C = ["07/03/2026", "14/03/2026", "15/03/2026"], ["10:05", "14:10", "02:20"]
CELSIUS, FAHRENHEIT = ["36.6", "37.4", "38.1"], ["97.9", "99.3", "100.6"]
SITES, STAFF = ["Oral", "Temporal", "Ax"], ["00417", "00938", "01204"]
DEVICES, WARDS = ["FS-07", "FS-11", "FS-12"], ["5 West", "ICU", "5W"]
MRN = ["4400123", "4400124", "4400125"]
NAMES = ["Orla Finch", "Piers Lund", "Mabel Quist"]


class Export(NamedTuple):
    kind: str
    table: dict[str, list[str]]
    columns: dict[str, str]
    unit: str | None = None


def _same(*pairs: tuple[str, str]) -> dict[str, str]:
    return dict(pairs)


EXPORTS = {
    "charting view with codes": Export(
        "readings",
        {
            "PAT_MRN_ID": MRN,
            "PAT_ENC_CSN_ID": MRN,
            "RECORDED_TIME": T,
            "ENTRY_TIME": T,
            "MEAS_VALUE": FAHRENHEIT,
            "TEMP SOURCE": SITES,
            "DEPARTMENT_NAME": WARDS,
            "USER_ID": STAFF,
            "MEAS_COMMENT": ["", "pt asleep", ""],
        },
        {
            "patient": "PAT_MRN_ID",
            "stay": "PAT_ENC_CSN_ID",
            "time": "RECORDED_TIME",
            "entered": "ENTRY_TIME",
            "value": "MEAS_VALUE",
            "site": "TEMP SOURCE",
            "ward": "DEPARTMENT_NAME",
            "person": "USER_ID",
            "note": "MEAS_COMMENT",
        },
        "F",
    ),
    "research tables": Export(
        "readings",
        {
            "subject_id": MRN,
            "stay_id": MRN,
            "charttime": T,
            "storetime": T,
            "valuenum": CELSIUS,
            "valueuom": ["°C"] * 3,
            "caregiver_id": STAFF,
        },
        {
            "patient": "subject_id",
            "stay": "stay_id",
            "time": "charttime",
            "entered": "storetime",
            "value": "valuenum",
            "unit": "valueuom",
            "person": "caregiver_id",
        },
    ),
    "ward sheet with names and births": Export(
        "readings",
        {
            "Patient Name": NAMES,
            "DOB": ["01/02/1940"] * 3,
            "Hospital No.": MRN,
            "Date/Time": T,
            "Temp (°C)": CELSIUS,
            "Site": SITES,
            "Ward": WARDS,
            "Nurse": STAFF,
            "Age": ["81", "90+", "45"],
        },
        {
            "patient": "Hospital No.",
            "time": "Date/Time",
            "value": "Temp (°C)",
            "site": "Site",
            "ward": "Ward",
            "person": "Nurse",
            "age": "Age",
        },
        "C",
    ),
    "unit means ward": Export(
        "readings",
        {"Obs time": T, "T": CELSIUS, "Unit": WARDS, "Route": SITES},
        {"time": "Obs time", "value": "T", "ward": "Unit", "site": "Route"},
        "C",
    ),
    "unit means degrees": Export(
        "readings",
        {
            "Taken at": T,
            "Result": ["36.6", "98.2", "37.0"],
            "Units": ["C", "F", "C"],
            "Location": WARDS,
            "Asset no": DEVICES,
        },
        {
            "time": "Taken at",
            "value": "Result",
            "unit": "Units",
            "ward": "Location",
            "instrument": "Asset no",
        },
    ),
    "date and time apart": Export(
        "readings",
        {"Date": D, "Time": C, "Temperature": CELSIUS, "Thermometer": DEVICES, "Charted by": STAFF},
        {
            "date": "Date",
            "clock": "Time",
            "value": "Temperature",
            "instrument": "Thermometer",
            "person": "Charted by",
        },
        "C",
    ),
    "both units side by side": Export(
        "readings",
        {"Timestamp": T, "Temp C": CELSIUS, "Temp F": FAHRENHEIT, "Method": SITES},
        {"time": "Timestamp", "value_c": "Temp C", "value_f": "Temp F"},
    ),
    "no headings at all": Export(
        "readings",
        {"column 1": MRN, "column 2": T, "column 3": CELSIUS, "column 4": ["Oral", "Axillary", "Rectal"]},
        {"time": "column 2", "value": "column 3", "site": "column 4"},
        "C",
    ),
    "day first, decimal comma": Export(
        "readings",
        {
            "Messzeit": [f"{d} {c}" for d, c in zip(D, C, strict=True)],
            "Temp": ["36,6", "37,4", "38,1"],
            "Station": WARDS,
        },
        {"time": "Messzeit", "value": "Temp", "ward": "Station"},
        "C",
    ),
    "other vital signs beside": Export(
        "readings",
        {
            "Time": T,
            "Pulse": ["88", "96", "101"],
            "Resp rate": ["16", "18", "20"],
            "SpO2": ["97", "98", "95"],
            "Temp": CELSIUS,
            "Systolic BP": ["120", "110", "98"],
        },
        {"time": "Time", "value": "Temp"},
        "C",
    ),
    "long format with other vitals": Export(
        "readings",
        {
            "encounter_id": MRN * 2,
            "recorded_at": T * 2,
            "vital_name": ["Temp (F)", "Heart Rate", "Resp", "SpO2", "BP sys", "Temp (F)"],
            "value": ["98.6", "88", "16", "97", "120", "99.1"],
        },
        {"stay": "encounter_id", "time": "recorded_at", "value": "value"},
        "F",
    ),
    "register of instruments": Export(
        "instruments",
        {
            "Asset": DEVICES,
            "Model": ["A", "A", "B"],
            "Set to": ["C", "C", "F"],
            "Mode": ["core", "oral", "core"],
            "Home ward": WARDS,
            "In service": D,
            "Retired": ["", "", "01/05/2026"],
        },
        {
            "instrument": "Asset",
            "model": "Model",
            "unit": "Set to",
            "mode": "Mode",
            "ward": "Home ward",
            "from": "In service",
            "until": "Retired",
        },
    ),
    "lens cleanings": Export(
        "cleanings",
        {
            "Device ID": DEVICES,
            "Cleaned at": T,
            "Part": ["lens", "case", "lens"],
            "Agent": ["alcohol", "wipe", "alcohol"],
            "Cleaned by": STAFF,
        },
        {
            "instrument": "Device ID",
            "time": "Cleaned at",
            "part": "Part",
            "agent": "Agent",
            "person": "Cleaned by",
        },
    ),
    "bench checks": Export(
        "checks",
        {
            "Serial no": DEVICES,
            "Date": D,
            "Reference (°C)": ["37.00", "37.00", "41.00"],
            "Reading (°C)": ["37.1", "36.8", "41.0"],
            "Room temp": ["22.1", "22.4", "22.0"],
            "Checked by": STAFF,
            "Result": ["pass", "pass", "fail"],
        },
        {
            "instrument": "Serial no",
            "time": "Date",
            "reference": "Reference (°C)",
            "shown": "Reading (°C)",
            "ambient": "Room temp",
            "person": "Checked by",
            "result": "Result",
        },
        "C",
    ),
    "people": Export(
        "people",
        {
            "Staff No": STAFF,
            "Name": NAMES,
            "Job title": ["RN", "HCA", "RN"],
            "Ward": WARDS,
            "Start date": D,
            "Leaving date": ["", "", ""],
        },
        {
            "person": "Staff No",
            "name": "Name",
            "role": "Job title",
            "ward": "Ward",
            "from": "Start date",
            "until": "Leaving date",
        },
    ),
    "training sheet": Export(
        "sessions",
        {
            "Employee ID": STAFF,
            "Session date": D,
            "Signed off": ["Y", "x", ""],
            "Assessor": STAFF[::-1],
            "Unit": WARDS,
        },
        {
            "person": "Employee ID",
            "time": "Session date",
            "outcome": "Signed off",
            "assessor": "Assessor",
            "ward": "Unit",
        },
    ),
    "events": Export(
        "events",
        {"Date": D, "What happened": ["form changed", "scanners delivered", "audit"], "Ward": WARDS},
        {"time": "Date", "what": "What happened", "ward": "Ward"},
    ),
}
