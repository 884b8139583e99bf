"""Instruments, people, wards and months: solved at fixed stay spreads, integrated over their own."""
