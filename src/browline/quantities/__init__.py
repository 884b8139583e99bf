"""Temperature scales and differences, sites of measurement with their codes, and named constants."""

from browline.quantities.scales import celsius, celsius_difference, fahrenheit, fahrenheit_difference
from browline.quantities.sites import SITES, site_from_loinc, site_from_snomed, site_from_word

__all__ = [
    "SITES",
    "celsius",
    "celsius_difference",
    "fahrenheit",
    "fahrenheit_difference",
    "site_from_loinc",
    "site_from_snomed",
    "site_from_word",
]
