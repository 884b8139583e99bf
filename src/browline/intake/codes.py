"""Why a row was set aside, and what was mended in a row that was taken: two closed lists.

Every code used anywhere in the import is here with the sentence the receipt prints. A repair is reversible
(the original is kept beside the reading); a reason keeps the row's number. Words such as "refused" are
facts about practice and so have codes of their own (practice, trap 4).
"""

REASONS: dict[str, str] = {
    # the value
    "no-value": "The temperature is blank.",
    "dash": "A dash stands where the temperature should be.",
    "zero": "Zero was charted as a temperature.",
    "placeholder": "A placeholder such as 999 or -1 was charted as a temperature.",
    "reads-lo": "The instrument's LO (below its range) was charted.",
    "reads-hi": "The instrument's HI (above its range) was charted.",
    "reads-err": "The instrument's error message was charted.",
    "sheet-error": "The cell holds a spreadsheet error such as #REF!.",
    "refused": "The patient refused.",
    "asleep": "The patient was asleep, so no temperature was taken.",
    "off-ward": "The patient was off the ward.",
    "not-done": "Charted as not taken or not possible.",
    "no-number": "The temperature cell holds words we do not know and no number.",
    "two-numbers": "The temperature cell holds more than one number; which one is meant is not guessed.",
    "words-beside-number": "Words we do not know stand beside the number, so it may not be a temperature.",
    "implausible": "The number cannot be a body temperature (outside 25 to 45 °C, 77 to 113 °F).",
    "unit-unknown": "Neither a unit nor the size of the number (45 to 77) says whether it is °C or °F.",
    "unit-not-accepted": "The unit is neither degrees Celsius nor degrees Fahrenheit.",
    "units-disagree": "The Celsius and the Fahrenheit column say different temperatures.",
    # the time
    "no-time": "The time is blank.",
    "time-unread": "The time could not be read.",
    "time-impossible": "There is no such day or hour (31 February, 25:00).",
    "time-of-day-missing": "Only the day is given; the time of day is missing.",
    "time-skipped": "This wall-clock time never happened: the clocks were put forward over it.",
    # the row
    "struck-out": "The reading is marked as struck out, cancelled or entered in error.",
    "replaced": "A corrected version of the same reading stands in the file.",
    "not-a-temperature": "The row is about something other than body temperature.",
    "resource-unread": "The FHIR resource could not be understood.",
    "panel-without-values": "A panel that only points to other Observations; it holds no reading itself.",
    "totals-row": "A totals or footer row of the spreadsheet, not a reading.",
    "heading-row": "The heading row, repeated further down.",
    "row-broken": "The line could not be split into the file's columns.",
    "cell-missing": "A cell that this kind of file needs is blank.",
    "number-unread": "A cell that should hold a number does not.",
    # the roster
    "code-unknown": "The code is not settled yet; the cell is kept, and counts once you say what it stands for.",
    "two-of-this-name": "Two people of the list have this name; the roster gives no identifier to tell them apart.",
    "two-rows-one-name": "Lines of one name stand apart, without an identifier; say if they are one person or two.",
    "two-places": "The roster has this person in two places at the same hours; the first was taken.",
    "person-unread": "A spreadsheet had rounded the identifier (1.23E+11), and no name stands beside it.",
    "nobody-named": "A turn of nobody: vacant, or bank and agency without a name.",
}

REPAIRS: dict[str, str] = {
    # the value
    "unit-put-right": "The number can only be in the other unit, so the unit was put right.",
    "unit-by-range": "No unit was given; the size of the number says which it is.",
    "unit-by-words": "The unit was not given as a UCUM code; its words were read instead.",
    "decimal-comma": "A decimal comma was read as a point.",
    "lost-point": "The decimal point was missing (366 read as 36.6).",
    "text-beside-number": "A unit, site or remark beside the number was read and taken off.",
    "one-of-two-units": "Only one of the Celsius and Fahrenheit cells could be read; that one was taken.",
    "sites-disagree": "Two places in the record name different sites, so the site is taken as unknown.",
    # the time
    "time-joined": "Date and time stood in two columns and were joined.",
    "hour-24": "24:00 was read as 00:00 of the next day.",
    "two-digit-year": "A two-digit year was read (69 to 99 as 19.., 00 to 68 as 20..).",
    "excel-serial": "A spreadsheet's day number was read as a date and time (counted from 1900).",
    "excel-1904": "A spreadsheet's day number was read as a date and time (counted from 1904).",
    "pm-after-noon": "An hour above 12 carried PM; the hour was taken as it stands.",
    "hour-repeated": "The clocks went back over this hour; it was taken as its first pass.",
    "period-start": "A period was given; its start was taken as the time.",
    "issued-as-time": "No time of measurement was given; the time of issue was taken.",
    # names and identifiers
    "instrument-letter": "O and 0, or I and 1, were exchanged; one instrument of the register fits.",
    "instrument-tidied": "Capitals, spaces or hyphens differ from the register's spelling.",
    "leading-zeros": "Leading zeros were missing or added; one entry of the register fits.",
    "identifier-float": "A spreadsheet had added .0 to an identifier.",
    "identifier-rounded": "A spreadsheet had rounded an identifier (1.23E+11); it is treated as missing.",
    # the roster
    "person-not-listed": "Not on the list of people; entered as seen in the roster, to be matched or put on the list.",
    "roster-replaced": "Turns of an older roster that this one took the place of.",
}
