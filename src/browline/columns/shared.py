"""Headings of the columns that several kinds have, as hospitals write them. Common practice, no source."""

TIME = """
    time, date time, datetime, date and time, timestamp, recorded, recorded dttm, recorded at, recorded time,
    recorded date, record time, recorded date time, charttime, chart time, chart dttm, charted time, charted
    at, obs time, obs date, obs date time, obs datetime, obs dt, observation time, observation date time,
    observation date, observation datetime, date taken, time taken, taken, taken at, taken time, measured,
    measured at, measurement time, measure time, meas time, measured time, effective, effective date time,
    effectivedatetime, performed, performed at, performed time, event time, event end dt tm, event dt tm, dt,
    dttm, dt tm, when, date, vitals time, vital time, result time, time of reading, reading time, read at,
    reading date time, date time taken, time of observation, date of observation, collected, collection time,
    cleaned, cleaned at, date cleaned, cleaning date, cleaning time, checked at, check date, date checked,
    date of check, test date, date tested, session date, date of session, training date, date attended, event
    date, date of event, date of training, session, happened, start, start time
"""
UNIT = """
    unit, units, uom, unit of measure, units of measure, value unit, value units, result unit, result units,
    valueuom, value uom, temp unit, temp units, temperature unit, temperature units, scale, unit code,
    measure unit, meas unit, deg
"""
INSTRUMENT = """
    instrument, instrument id, instrument no, device, device id, device no, device serial, device serial no,
    device serial number, device name, asset, asset id, asset no, asset number, asset tag, thermometer,
    thermometer id, thermometer no, thermometer asset, thermometer serial, thermometer number, serial, serial
    no, serial number, sn, s n, equipment, equipment id, equipment no, equipment number, tag, tag no,
    scanner, scanner id, unit serial, device asset, therm id, probe id, equip id, bme no, inventory no,
    inventory number
"""
PERSON = """
    person, nurse, nurse id, performer, performed by, charted by, documented by, doc by, recorded by, entered
    by, taken by, user, user id, username, user name, staff, staff id, staff no, staff number, employee,
    employee id, employee no, employee number, emp, emp id, emp no, badge, badge no, observer, author,
    practitioner, clinician, provider, provider id, caregiver, cgid, done by, obs by, observed by, cleaned
    by, checked by, tester, tested by, login, log in, initials, worker, worker id, staff member, attendee,
    learner, participant, payroll, payroll no, assignment no, signed by, rn id, caregiver id, recorder
"""
WARD = """
    ward, ward name, ward id, ward code, unit, unit name, nursing unit, nurse unit, location, location name,
    loc, dept, department, department name, dept name, area, care unit, careunit, floor, clinic, home ward,
    home unit, place, patient location, current location, bed unit, ward unit, where, station, loc nurse
    unit, ward location, point of care, base, base ward, service location
"""
MODE = """
    mode, setting, measuring mode, measurement mode, device mode, instrument mode, equivalent, output mode
"""
MODES = ("core", "oral-equivalent", "direct")
MODE_WORDS = {
    "core": "core, arterial, arterial core, arterial/core, core equivalent, art, arterial mode",
    "oral-equivalent": "oral equivalent, oral-equivalent, oral, oral equiv, oral mode, oral calibrated",
    "direct": "direct, unadjusted, surface, raw, blackbody, black body, cal, direct mode, none",
}
FROM = """
    from, start, start date, since, in use from, in service, in service date, commissioned, valid from,
    employed from, date started, hire date, date in use, date in service, started, acquired, received, first
    used
"""
UNTIL = """
    until, to, end, end date, till, in use until, retired, retired on, scrapped, decommissioned, valid to,
    valid until, employed until, leaving date, date left, left, termination date, out of service, disposal
    date, last used
"""
