"""What each sort of job is called on the pages."""

TITLES = {
    "import": "Taking a file",
    "review": "Reviewing the readings",
    "report": "Writing the report",
    "plan": "Making a session plan",
}
