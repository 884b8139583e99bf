"""Instruments from day to day: the register, rounds, cleanings, and how they stand."""
