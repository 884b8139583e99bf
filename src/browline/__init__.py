"""browline: a thermometry educator's workbench.

Charted readings in; out comes which instruments, techniques, wards and values cannot be trusted, how sure,
since when, why, and what to do. It supports teaching and quality review; it does not diagnose.
"""

__version__ = "0.1.0"
