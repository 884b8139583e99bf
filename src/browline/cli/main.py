"""`browline`: the commands, named as strings so that `--help` imports none of them.

Exit status: 0 done; 2 the request was not understood; 3 the input was refused, with the reason; 1 a fault
of ours. Nothing is half-done: a command whose reader has left, as in `browline review --pdf r.pdf | head`, still
does all it was asked for, and ends with its usual status.
"""

import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from typing import Any, TextIO

from cyclopts import App, CycloptsError

from browline import __version__
from browline.errors import Refusal
from browline.settings.launch import set_up_django

app = App(
    name="browline",
    version=__version__,
    help="A thermometry educator's workbench. It supports teaching and quality review; it does not diagnose. "
    "A patient who looks ill is escalated whatever the number says.",
)
app.command(
    "browline.cli.demo:demo",
    name="demo",
    help="Make an invented hospital, import it, review it, write the report, open the pages.",
)
app.command(
    "browline.cli.import_files:take",
    name="import",
    help="Add files to the book; print a receipt and what they can and cannot answer.",
)
app.command(
    "browline.cli.review:review",
    name="review",
    help="Say what cannot be trusted, how sure, since when, why, and what to do.",
)
app.command(
    "browline.cli.sample:sample",
    name="sample",
    help="Draw charts to look at by hand, with a seed; say how sure the share found in them is.",
)
app.command(
    "browline.cli.ward_sheet:ward_sheet",
    name="ward-sheet",
    help="Write one side of paper for a ward: its own trend, one good thing, one ask.",
)
app.command(
    "browline.cli.instruments:instruments",
    name="instruments",
    help="Say where the instruments are today, what is due, and what each ward has ready.",
)
app.command(
    "browline.cli.hand_out:hand_out",
    name="hand-out",
    help="Write a card, poster or sheet to hand out, with how it stands.",
)
app.command(
    "browline.cli.coverage:coverage",
    name="coverage",
    help="Say who on duty is signed off, who is not, and where most are left to see.",
)
app.command(
    "browline.cli.recheck:recheck",
    name="recheck",
    help="Say what readings that disagree tell together, which misled, and what to do next; for teaching and review.",
)
app.command(
    "browline.cli.plan:plan",
    name="plan",
    help="Propose teaching visits that reach most people soonest, with names, and how good the plan is.",
)
app.command(
    "browline.cli.pages:pages", name="open", help="Open the pages in a browser, on this computer only."
)


class Outlet:
    """A stream whose reader may leave: what is written from then on goes nowhere, and nobody is told."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write as the stream itself does."""
        try:
            return self._stream.write(text)
        except BrokenPipeError:
            self._pour_away()
            return len(text)

    def flush(self) -> None:
        """Send on what is waiting."""
        try:
            self._stream.flush()
        except BrokenPipeError:
            self._pour_away()

    def _pour_away(self) -> None:
        # The descriptor is turned, not closed: what still waits in the stream's buffer is flushed at exit.
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, self._stream.fileno())
        os.close(nowhere)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    out, err = Outlet(sys.stdout), Outlet(sys.stderr)
    with redirect_stdout(out), redirect_stderr(err):
        try:
            return _run(arguments)
        finally:
            out.flush()
            err.flush()


def _run(arguments: list[str] | None) -> int:
    # One thread a process for dense algebra: on a busy machine more of them wait for each other (18 s for 3.5 s).
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _prepare(sys.argv[1:] if arguments is None else arguments)
    try:
        app(arguments, exit_on_error=False, print_error=True, result_action="return_value")
    except CycloptsError:
        return 2
    except Refusal as refusal:
        print(f"browline: {refusal}", file=sys.stderr)
        return refusal.exit_status
    except KeyboardInterrupt:
        print("browline: stopped; the book is as it was.", file=sys.stderr)
        return 1
    return 0


def _prepare(words: list[str]) -> None:
    """Set Django up before a command is loaded; `--help` and `--version` of the program itself wait for nothing."""
    if words and not words[0].startswith("-"):
        set_up_django()


if __name__ == "__main__":
    sys.exit(main())
