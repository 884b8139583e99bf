"""Instruments: the register, how far each reads off and since when, its checks and cleanings."""
