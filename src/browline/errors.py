"""Every refusal, in sentences: what came, what was wanted, what to do.

The doors print the sentence and turn the class into an exit status (see docs/reference). Anything that is
not a `Refusal` is a fault of ours.
"""


class Refusal(Exception):
    """A request we will not carry out, told so that the reader knows what to do next."""

    exit_status = 3

    def __init__(self, came: str, wanted: str, do: str) -> None:
        super().__init__(f"{came} {wanted} {do}")
        self.came, self.wanted, self.do = came, wanted, do

    def named(self, name: str) -> "Refusal":
        """The same refusal with the name of the file or reading, one among several."""
        self.args = (f"{name}: {self}",)
        return self


class NotUnderstood(Refusal):
    """The request itself was not understood (a wrong option, an unknown kind)."""

    exit_status = 2


class InputRefused(Refusal):
    """The request was clear, but the file or value given cannot be taken."""


class Undecided(InputRefused):
    """The file can be read in more than one way and only a person can say which.

    `question` is what to ask; `choices` are the answers, each the text to put into the mapping; `code` says what is
    asked about.
    """

    code = "date_order"

    def __init__(self, came: str, wanted: str, do: str, question: str, choices: tuple[str, ...]) -> None:
        super().__init__(came, wanted, do)
        self.question, self.choices = question, choices

    def in_words(self, choice: str) -> str:
        """A choice as she would say it."""
        letters = {"y": "year", "m": "month", "d": "day"}
        return ", ".join(letters[letter] for letter in choice)

    def reminded(self, earlier: str) -> "Undecided":
        """The same question with what was answered for an earlier file: a reminder, not an answer."""
        return Undecided(
            self.came, f"{self.wanted} {earlier}", self.do, f"{self.question} {earlier}", self.choices
        )


class NoTimes(InputRefused):
    """A table holds temperatures and nothing that says when they were taken; a person may point to it."""


Picture = tuple[tuple[str, int], ...]


def _bands_in_words(picture: Picture) -> str:
    return "; ".join(f"{band}: {count:,}" for band, count in picture)


class NotPeoples(InputRefused):
    """The numbers of a file are not people's temperatures; `picture` says where they lie."""

    def __init__(self, came: str, picture: Picture) -> None:
        super().__init__(
            f"{came} ({_bands_in_words(picture)}.)",
            "Wanted are temperatures of people; nothing was taken.",
            "Look at the heading of the value, at its unit, and at what the rows are about.",
        )
        self.brief = f"{came} {self.wanted} {self.do}"
        self.picture = picture


class Doubted(Undecided):
    """The values of a file may be people's, and only a person can say; `picture` says where they lie."""

    code = "people"

    def __init__(self, came: str, picture: Picture) -> None:
        super().__init__(
            f"{came} ({_bands_in_words(picture)}.)",
            "Wanted are people's temperatures as they were charted; nothing was taken.",
            "Look at the heading of the value and at its unit. Are they people's and right so? Say it:"
            " --these-are-people in the terminal, or the tick on the page.",
            "Are these people's temperatures, and rightly read?",
            ("yes",),
        )
        self.brief = f"{came} {self.wanted} {self.do}"
        self.picture = picture

    def in_words(self, choice: str) -> str:
        """The one answer there is; no answer leaves the file out."""
        return "these are people's temperatures, go on"
