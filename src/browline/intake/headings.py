"""The headings hospitals give their columns, in several habits, and the column of ours each one means.

Common practice, no source. A phrase is written as its words in small letters; `HARD` headings must never be
taken (names, dates of birth), whatever else they contain.
"""

from browline.intake.non_numeric_words import word_set
from browline.intake.units import tokens

# Words about the unit or the vital sign itself, dropped before a heading is compared.
_IDLE = word_set("c f celsius fahrenheit deg degree degrees degc degf °")

_PHRASES: dict[str, str] = {
    "patient": """
        patient, patient id, patient no, patient number, patient identifier, patient key, mrn, mrn no,
        pt, pt id, pt no, subject, subject id, person id, pat id, pat mrn id, hospital no, hospital
        number, hosp no, nhs no, nhs number, medical record number, medical record no, unit number, urn,
        ur no, chi, pid, patientid, pat mrn, mrn id, record id, patient mrn
    """,
    "stay": """
        stay, stay id, visit, visit id, visit no, visit number, encounter, encounter id, encounter no,
        csn, pat enc csn id, enc id, adm, adm id, admission, admission id, admission no, admission
        number, hospitalization id, hospitalisation id, hadm, hadm id, spell, spell id, spell no,
        episode, episode id, episode no, fin, fin no, har, account, account no, icustay id, case id,
        case no, fallnummer
    """,
    "time": """
        time, date time, datetime, date and time, timestamp, recorded, recorded dttm, recorded at,
        recorded time, recorded date, record time, recorded date time, charttime, chart time, chart
        dttm, charted time, charted at, obs time, obs date, obs date time, obs datetime, obs dt,
        observation time, observation date time, observation date, observation datetime, date taken,
        time taken, taken, taken at, taken time, measured, measured at, measurement time, measure time,
        meas time, measured time, effective, effective date time, effectivedatetime, performed,
        performed at, performed time, event time, event end dt tm, event dt tm, dt, dttm, dt tm, when,
        date, vitals time, vital time, result time, time of reading, reading time, read at, reading date
        time, date time taken, time of observation, date of observation, collected, collection time,
        cleaned, cleaned at, date cleaned, cleaning date, cleaning time, checked at, check date, date
        checked, date of check, test date, date tested, session date, date of session, training date,
        date attended, event date, date of event, date of training, session, happened, start, start time
    """,
    "date": """
        date, obs date, observation date, date taken, recorded date, chart date, charted date, day,
        reading date, date of reading, measurement date, taken date, vitals date, vital date, service
        date, date of observation, effective date
    """,
    "clock": """
        time, obs time, observation time, time taken, recorded time, chart time, charted time, clock,
        hour, reading time, time of reading, measurement time, taken time, vitals time, vital time, tod,
        time of day, time of observation, hh mm
    """,
    "value": """
        value, temp, temperature, t, tmp, body temp, body temperature, bodytemp, vital value, result,
        result value, results, result val, reading, obs value, observation value, valuenum, value num,
        numeric value, measure value, meas value, temp value, temperature value, meas, measurement, vs
        temp, vital temp, value numeric, valuequantity, obs result, temp result, temperature result,
        temp reading, temperature reading, score value, flo meas value, tempc, tempf, patient temp,
        patient temperature, pt temp, charted value, charted temp, charted temperature
    """,
    "unit": """
        unit, units, uom, unit of measure, units of measure, value unit, value units, result unit,
        result units, valueuom, value uom, temp unit, temp units, temperature unit, temperature units,
        scale, unit code, measure unit, meas unit, deg
    """,
    "site": """
        site, temp site, temperature site, meas site, meas site name, measurement site, site name, body
        site, bodysite, route, temp route, temperature route, source, temp source, temperature source,
        site of measurement, location on body, anatomical site, where taken, taken from, obs site, temp
        src, src, vital site, site of temp, site of temperature
    """,
    "method": """
        method, temp method, temperature method, measurement method, technique, how taken, obs method,
        meas method, mode of measurement, temp type, temperature type
    """,
    "instrument": """
        instrument, instrument id, instrument no, device, device id, device no, device serial, device
        serial no, device serial number, device name, asset, asset id, asset no, asset number, asset
        tag, thermometer, thermometer id, thermometer no, thermometer asset, thermometer serial,
        thermometer number, serial, serial no, serial number, sn, s n, equipment, equipment id,
        equipment no, equipment number, tag, tag no, scanner, scanner id, unit serial, device asset,
        therm id, probe id, equip id, bme no, inventory no, inventory number
    """,
    "person": """
        person, nurse, nurse id, performer, performed by, charted by, documented by, doc by,
        recorded by, entered by, taken by, user, user id, username, user name, staff, staff id, staff
        no, staff number, employee, employee id, employee no, employee number, emp, emp id, emp no,
        badge, badge no, observer, author, practitioner, clinician, provider, provider id, caregiver,
        cgid, done by, obs by, observed by, cleaned by, checked by, tester, tested by, login, log in,
        initials, worker, worker id, staff member, attendee, learner, participant, payroll, payroll no,
        assignment no, signed by, rn id, caregiver id, recorder
    """,
    "ward": """
        ward, ward name, ward id, ward code, unit, unit name, nursing unit, nurse unit, location,
        location name, loc, dept, department, department name, dept name, area, care unit, careunit,
        floor, clinic, home ward, home unit, place, patient location, current location, bed unit, ward
        unit, where, station, loc nurse unit, ward location, point of care, base, base ward, service
        location
    """,
    "care": """
        care, care type, care level, level of care, type of care, location category, care category, ward
        type, unit type, location type, specialty type, care setting, setting, acuity level
    """,
    "age": """
        age, age years, age yrs, patient age, age at admission, age in years, anchor age, age at visit,
        pt age, age at event, age y
    """,
    "entered": """
        entered, entered at, entry time, entered time, entry date, storetime, store time, filed, filed
        at, file time, filing time, filed time, documented, documented at, documented time,
        documentation time, keyed, keyed at, saved, saved at, created, created at, created time,
        validated time, charted dttm, entry datetime, entry instant, entry dttm, entered dttm, entered
        date time, entered datetime, time entered, date entered, system time, updated, updated at, valid
        from dt tm
    """,
    "note": """
        note, notes, comment, comments, remark, remarks, meas comment, free text, annotation, status,
        obs status, result status, reading status, flag, comment text
    """,
    "mode": """
        mode, setting, measuring mode, measurement mode, device mode, instrument mode, equivalent,
        output mode
    """,
    "kind": """
        kind, type, device type, instrument type, thermometer type, category, equipment type, class
    """,
    "model": """
        model, model name, model no, model number, make model, device model, type model
    """,
    "from": """
        from, start, start date, since, in use from, in service, in service date, commissioned, valid
        from, employed from, date started, hire date, date in use, date in service, started, acquired,
        received, first used
    """,
    "until": """
        until, to, end, end date, till, in use until, retired, retired on, scrapped, decommissioned,
        valid to, valid until, employed until, leaving date, date left, left, termination date, out of
        service, disposal date, last used
    """,
    "part": """
        part, part cleaned, what cleaned, cleaned part, component
    """,
    "agent": """
        agent, cleaning agent, cleaned with, wipe, wipe type, product, disinfectant, solution, with
    """,
    "reference": """
        reference, ref, reference temp, reference temperature, reference value, ref temp, ref
        temperature, ref value, blackbody, black body, standard, true, true value, target, bath, bath
        temp, nominal, set point, setpoint, source temp, source temperature
    """,
    "shown": """
        shown, displayed, display, reading, indicated, indication, device reading, thermometer reading,
        instrument reading, measured, measured value, dut, uut, observed, value shown, result, test
        reading, as found, value, temp, temperature
    """,
    "ambient": """
        ambient, ambient temp, ambient temperature, room temp, room temperature, room, lab temp,
        environment
    """,
    "uncertainty": """
        uncertainty, u, expanded uncertainty, uncertainty k 2, ref uncertainty, reference uncertainty,
        mu
    """,
    "result": """
        result, outcome, conclusion, pass fail, verdict, status, pass, decision
    """,
    "role": """
        role, job, job title, title, grade, band, position, profession, post, staff group, job role,
        designation, rank
    """,
    "name": """
        name, staff name, full name, display name, nurse name, employee name, person name, name of staff
    """,
    "outcome": """
        outcome, result, status, attended, attendance, signed off, sign off, signoff, passed, competent,
        completed, competency, present, pass, achieved
    """,
    "assessor": """
        assessor, assessed by, assessor id, signed off by, examiner, evaluator, trainer, assessor no,
        verified by, sign off by, observer
    """,
    "what": """
        what, event, description, what happened, change, event name, event description, details,
        activity, happening, milestone
    """,
}

# Phrase -> its place in the list: of two headings that fit, the one nearer the front is the better.
PHRASES: dict[str, dict[str, int]] = {
    column: {" ".join(p.split()): rank for rank, p in reversed(list(enumerate(phrases.split(","))))}
    for column, phrases in _PHRASES.items()
}
_JOINED = {column: {p.replace(" ", "") for p in phrases} for column, phrases in PHRASES.items()}
_PER_RANK = 0.0005

# Headings made of these words hold names, births, addresses or free text about a person.
_NAMES = word_set(
    "surname forename firstname lastname fullname dob birth birthdate birthday address postcode zip "
    "zipcode phone telephone email mail kin gp street ssn insurance diagnosis sex gender ethnicity race "
    "religion"
)
_WHOSE = word_set(
    "patient pt first last full middle family given maiden subject nurse staff employee person "
    "preferred user performer provider"
)


def heading_words(heading: str) -> list[str]:
    """The words of a heading without those that only say a unit.

    >>> heading_words("Temp_F"), heading_words("Obs. Date/Time")
    (['temp'], ['obs', 'date', 'time'])
    """
    words = tokens(heading)
    return [w for w in words if w not in _IDLE] or words


def is_forbidden(heading: str) -> bool:
    """Whether a heading says names, births or the like, which are never taken.

    >>> is_forbidden("Patient Name"), is_forbidden("DOB"), is_forbidden("ward name"), is_forbidden("name")
    (True, True, False, True)
    """
    words = set(tokens(heading))
    if words & _NAMES or "".join(tokens(heading)) in _NAMES:
        return True
    return words == {"name"} or ("name" in words and bool(words & _WHOSE) and "user" not in words)


def heads_identifiers(heading: str) -> bool:
    """Whether a heading ends in "id": its numbers tell rows apart and measure nothing.

    >>> heads_identifiers("measurement_id"), heads_identifiers("resultid"), heads_identifiers("Temp")
    (True, True, False)
    """
    *_, last = tokens(heading) or [""]
    return last in ("id", "ids") or (last.endswith("id") and last[:-2] in _JOINED["value"])


def names_staff(heading: str) -> bool:
    """Whether a heading says the whole name of a member of staff, which the list of people may hold.

    >>> names_staff("Staff name"), names_staff("Patient name"), names_staff("Surname")
    (True, False, False)
    """
    return " ".join(tokens(heading)) in PHRASES["name"]


def heading_score(heading: str, column: str) -> float:
    """How well a heading names a column of ours: near 1 word for word, less where words are left over, else 0.

    >>> heading_score("Time", "time"), heading_score("Blood pressure", "value")
    (1.0, 0.0)
    """
    words = heading_words(heading)
    if not words or "concept" in words:  # a code of some vocabulary, not the thing itself
        return 0.0
    known = PHRASES[column]
    for phrase in (" ".join(words), " ".join(tokens(heading))):
        if phrase in known:
            return 1 - _PER_RANK * known[phrase]
    if "".join(words) in _JOINED[column]:
        return 0.95
    return max((_part(words, p.split()) for p in known), default=0.0)


def _part(words: list[str], phrase: list[str]) -> float:
    """A phrase inside a longer heading counts by how much of the heading it covers; one letter never does."""
    size = len(phrase)
    if size >= len(words) or len("".join(phrase)) < 3:
        return 0.0
    inside = any(words[i : i + size] == phrase for i in range(len(words) - size + 1))
    return 0.4 + 0.4 * size / len(words) if inside else 0.0


def is_heading(text: str) -> bool:
    """Whether a text is, word for word, a heading of some column we know."""
    return is_forbidden(text) or any(heading_score(text, column) >= 0.9 for column in PHRASES)
