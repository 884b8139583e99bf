"""Small problems on which the oracles are compared: one to three readings, each with something of its own."""

from dataclasses import replace
from types import MappingProxyType

from browline.questioned.priors import Named
from browline.questioned.problem import Problem, Reading
from browline.questioned.published import published

KNOWN = replace(published(), instruments=MappingProxyType({"A": Named(-0.25, 0.04)}))

PROBLEMS = {
    "one low scan": Problem((Reading(35.1, "temporal", 0),), {"damp": "yes"}),
    "one gross value": Problem((Reading(43.0, "oral", 5),)),
    "forehead and mouth": Problem(
        (Reading(36.0, "temporal", 10, "A"), Reading(37.9, "oral", 0)), {"damp": "yes", "hot-drink": "no"}
    ),
    "oesophagus and rectum": Problem(
        (Reading(36.9, "oesophageal", 20), Reading(38.5, "rectal", 5)), {"cooled": "yes"}
    ),
    "damp, dried and read again": Problem(
        (Reading(35.4, "temporal", 15, "A"), Reading(37.6, "temporal", 2, "A", prepared=True)),
        {"damp": "yes"},
    ),
    "one scanner at two sites": Problem(
        (Reading(36.1, "temporal", 4, "A"), Reading(36.3, "behind-ear", 3, "A")), {"dirty-lens": "yes"}
    ),
    "a scanner the book knows": Problem(
        (Reading(37.6, "temporal", 4, "A"), Reading(37.9, "temporal", 3, "B")), priors=KNOWN
    ),
    "cooled, in the first year": Problem(
        (Reading(36.9, "tympanic", 40), Reading(39.3, "rectal", 10)), {"cooled": "yes"}, age="3-12-months"
    ),
    "older, two armpits and a mouth": Problem(
        (Reading(35.2, "axillary", 70), Reading(36.4, "oral", 45), Reading(36.2, "axillary", 20)),
        {"cold-in": "yes", "antipyretic": "yes"},
        age="65-up",
    ),
}
THREE = Problem(
    (Reading(36.0, "temporal", 90, "A"), Reading(36.4, "temporal", 30, "A"), Reading(38.2, "tympanic", 10)),
    {"damp": "yes"},
    age="1-17-years",
)
