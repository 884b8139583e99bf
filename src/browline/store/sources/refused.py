"""Refusals of a file, worded alike; none of them quotes what is in the file."""

from ...errors import InputRefused

WANTED = "Wanted: a CSV or text table, a workbook (XLSX, XLS, ODS), Parquet, or FHIR R4 as JSON or NDJSON."


def refused(came: str, do: str, wanted: str = WANTED) -> InputRefused:
    """A refusal of a file: what came, what to do."""
    return InputRefused(came, wanted, do)
