"""What may differ from the JSON kept with the book, each with the reason that an issue gives.

A row: the output; the path, where * stands for anything; why. A path is what a failing test prints, for example
`findings[instrument-offset FS-07].action`. A row that matches nothing any more is to be taken out.
"""

CHANGES: tuple[tuple[str, str, str], ...] = ()
