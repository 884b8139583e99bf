"""The report carried away: PDF for a committee, one page for any computer, spreadsheets for the work.

    write_pdf(report, path)     write_html(report, path)
    write_request_pdf(request, path)   write_request_html(request, path)
    write_ward_sheet(ward_sheet, path)
    write_hand_out(handed, path)   write_sign_in_sheet(sheet, path)   write_round_sheet(sheet, path)
    write_competence_file(record, gaps, made, path)   write_session_plan(plan, choices, path)
    write_questioned_learning(learned, path, ...)   write_questioned_log_sheet(path, ...)
    write_xlsx([findings_sheet(report), set_aside_sheet(rows)], path)

A file appears whole or not at all.
"""

from browline.paper.competence_file import write_competence_file
from browline.paper.hand_outs import write_hand_out
from browline.paper.html import write_html, write_request_html
from browline.paper.pdf import write_pdf, write_request_pdf
from browline.paper.questioned_learning import write_questioned_learning
from browline.paper.questioned_log_sheet import write_questioned_log_sheet
from browline.paper.round_sheet import write_round_sheet
from browline.paper.session_plan import write_session_plan
from browline.paper.sheets import (
    Sheet,
    findings_sheet,
    look_back_sheet,
    sample_sheet,
    set_aside_sheet,
    write_xlsx,
)
from browline.paper.sign_in_sheet import write_sign_in_sheet
from browline.paper.ward_sheet import write_ward_sheet

__all__ = [
    "Sheet",
    "findings_sheet",
    "look_back_sheet",
    "sample_sheet",
    "set_aside_sheet",
    "write_competence_file",
    "write_hand_out",
    "write_html",
    "write_pdf",
    "write_questioned_learning",
    "write_questioned_log_sheet",
    "write_request_html",
    "write_request_pdf",
    "write_round_sheet",
    "write_session_plan",
    "write_sign_in_sheet",
    "write_ward_sheet",
    "write_xlsx",
]
