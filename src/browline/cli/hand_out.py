"""`browline hand-out`: a card, poster or sheet as PDF."""

import sys
from datetime import datetime
from pathlib import Path

from django.utils import timezone

from browline.cli.arguments import check_folder
from browline.errors import NotUnderstood
from browline.paper import write_hand_out, write_round_sheet, write_sign_in_sheet
from browline.services.materials.handouts import blank_sign_in_sheet, round_sheet
from browline.services.materials.handouts.cards import HAND_OUTS, check_paper, handed_out, note_handed_out
from browline.store.book import default_folder, open_book
from browline.store.models import Instrument, Person

SHEETS = ("sign-in-sheet", "round-sheet")


def hand_out(
    name: str, *, pdf: Path, paper: str | None = None, ward: str = "", book: Path | None = None
) -> None:
    """Write a hand-out as it is in use now; it says across the page when it is not in force.

    Parameters
    ----------
    name
        pocket-card, poster, site-card, site-card-reasons, teach-back, questions, pathway, sign-in-sheet or
        round-sheet.
    pdf
        write it here.
    paper
        a4 or us-letter, and a3 or us-tabloid for the poster; the one chosen for the book unless said.
    ward
        whose instruments a round-sheet lists; every ward's unless said.
    book
        the book's folder.
    """
    check_folder(pdf)
    # A card is wanted before any file is brought in, so a book begins with it as with the pages.
    open_book(book or default_folder())
    print(_written(name, pdf, paper, ward))
    print(f"wrote {pdf}", file=sys.stderr)


def _written(name: str, pdf: Path, paper: str | None, ward: str) -> str:
    """Write it and say what it is."""
    now = timezone.localtime()
    if name not in (*HAND_OUTS, *SHEETS):
        raise NotUnderstood(
            f"There is no hand-out {name!r}.", f"There are {', '.join((*HAND_OUTS, *SHEETS))}.", "Choose one."
        )
    if name in SHEETS and paper:
        check_paper(paper)
    if name == "sign-in-sheet":
        return _sign_in_sheet(now, pdf, paper)
    if name == "round-sheet":
        return _round_sheet(now, pdf, paper, ward)
    handed = handed_out(name, now, paper or "")
    write_hand_out(handed, pdf)
    note_handed_out(handed, "educator")
    return f"{handed.hand_out.title}, version {handed.version}, {handed.standing}."


def _sign_in_sheet(now: datetime, pdf: Path, paper: str | None) -> str:
    from dataclasses import replace

    sheet = blank_sign_in_sheet(now)
    write_sign_in_sheet(replace(sheet, paper=paper or sheet.paper), pdf)
    return "A sheet to sign, to be filled by hand."


def _round_sheet(now: datetime, pdf: Path, paper: str | None, ward: str) -> str:
    from dataclasses import replace

    _check_ward(ward)
    walk = round_sheet(ward, now)
    write_round_sheet(replace(walk, paper=paper or walk.paper), pdf)
    return f"A round, {ward or 'every ward'}: {len(walk.lines)} listed."


def _check_ward(ward: str) -> None:
    """Refuse a ward that neither an instrument nor anybody of the book belongs to, where any are known."""
    known = Instrument.objects.wards() | Person.objects.wards()
    if ward and known and ward not in known:
        names = ", ".join(sorted(known))
        raise NotUnderstood(f"The book knows no ward {ward!r}.", f"It knows {names}.", "Name one of these.")
