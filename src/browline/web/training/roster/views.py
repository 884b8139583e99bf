"""The roster: bringing it in, what its codes mean, who seems away, and who an entry on no list is."""

from django.contrib import messages
from django.db.models import Count, Max, Min
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from browline.columns.roster import ROSTER
from browline.services.imports.grid_look import look_over_roster
from browline.services.imports.mapping import FileAnswers
from browline.services.imports.reader import Request
from browline.services.imports.run import import_file
from browline.services.training import staff
from browline.services.training.roster import absences, known_wards, shift_codes
from browline.services.training.sessions import matching
from browline.store.models import Import, Person, Shift
from browline.web.current_book import current_book
from browline.web.readings.imports import pending_uploads
from browline.web.request import BookRequest
from browline.web.training.roster.forms import CodeForm, MatchForm, WholeForm, code_forms, same_name_forms

IMPORTS_SHOWN, ENTRIES_SHOWN = 10, 50


@require_GET
def index(request: BookRequest) -> HttpResponse:
    """What the roster covers, a form to bring one in, codes, proposals."""
    return _page(request)


def _page(request: BookRequest, status: int = 200, **more: object) -> HttpResponse:
    known = shift_codes.codes()
    used = Shift.objects.exclude(kind="").values_list("code").annotate(n=Count("pk")).order_by("-n")
    page = {
        "covers": Shift.objects.aggregate(
            first=Min("date"), last=Max("date"), people=Count("person", distinct=True)
        ),
        "open": code_forms(shift_codes.unsettled(), known),
        "used": [(code, n, known.get(code)) for code, n in used],
        "proposals": absences.proposals(timezone.localdate()),
        "unmatched": len(matching.unmatched()),
        "imports": Import.objects.filter(kind=ROSTER.id)[:IMPORTS_SHOWN],
        **more,
    }
    return render(request, "training/roster/index.html", page, status=status)


@require_POST
def bring(request: BookRequest) -> HttpResponse:
    """Hold the file in memory and show what it says."""
    came = [pending_uploads.hold(upload) for upload in request.FILES.getlist("files")]
    if not came:
        messages.error(request, "No file came. Choose one, then press “Look at it”.")
        return redirect("roster")
    for extra in came[1:]:
        pending_uploads.forget(extra.token)
    return redirect("look-at-roster", token=came[0].token)


@require_http_methods(["GET", "HEAD", "POST"])
def look(request: BookRequest, token: str) -> HttpResponse:
    """What the file says, codes to settle; posting takes it."""
    upload = pending_uploads.find(token)
    if upload is None:
        return render(request, "readings/imports/gone.html", status=404)
    whole = WholeForm(request.POST or None)
    ward = whole.cleaned_data["ward"] if whole.is_valid() else ""
    roster_look = look_over_roster(
        Request(
            book=current_book(), path=upload.path, today=timezone.localdate(), answers=FileAnswers(ward=ward)
        )
    )
    known = shift_codes.codes()
    same = same_name_forms(roster_look.same_names, request.POST or None)
    forms = code_forms(roster_look.unsettled, known, request.POST or None)
    page = {
        "upload": upload,
        "look": roster_look,
        "whole": whole,
        "forms": forms,
        "same_names": same,
        "settled": [(code, times, known.get(code)) for code, times in roster_look.settled],
        "wards": sorted(known_wards()),
    }
    if request.method != "POST":
        return render(request, "training/roster/look.html", page)
    if not all(form.is_valid() for form in (*forms, *(form for _, form in same))):
        return render(request, "training/roster/look.html", page, status=422)
    for form in forms:
        _settle(request, form)
    return _take(
        request, upload, ward, {same_name.key: form.cleaned_data["answer"] for same_name, form in same}
    )


def _take(
    request: BookRequest, upload: pending_uploads.PendingUpload, ward: str, answers: dict[str, str]
) -> HttpResponse:
    done = import_file(
        current_book(),
        upload.path,
        kind=ROSTER.id,
        answers=FileAnswers(ward=ward, same_names=answers),
        today=timezone.localdate(),
        actor=_actor(request),
    )
    pending_uploads.forget(upload.token)
    if not done.imports:
        messages.success(request, "Everything in this file was here already.")
        return redirect("roster")
    return redirect("receipt", number=done.imports[0])


def _settle(request: BookRequest, form: CodeForm) -> int:
    entered = form.cleaned_data
    if not entered["kind"]:
        return 0
    shift_codes.settle(
        entered["code"],
        entered["kind"],
        entered["start"],
        entered["end"],
        today=timezone.localdate(),
        actor=_actor(request),
    )
    return 1


@require_POST
def settle(request: BookRequest) -> HttpResponse:
    """Settle the codes that are filled in; turns that bear them come in."""
    forms = code_forms(shift_codes.unsettled(), shift_codes.codes(), request.POST)
    if not all(form.is_valid() for form in forms):
        return _page(request, 422, open=forms)
    done = sum(_settle(request, form) for form in forms)
    messages.success(request, f"{done} settled.")
    return redirect("roster")


@require_http_methods(["GET", "HEAD", "POST"])
def code(request: BookRequest, code: str) -> HttpResponse:
    """Change what one code stands for, from today on."""
    kind, start, end = shift_codes.codes().get(code, ("", None, None))
    initial = {"code": code, "kind": kind, "start": start, "end": end}
    form = CodeForm(request.POST or None, initial=initial)
    if form.is_valid() and form.cleaned_data["kind"]:
        _settle(request, form)
        messages.success(request, f"{form.cleaned_data['code']} was changed, in every turn from today on.")
        return redirect("roster")
    return render(
        request,
        "training/roster/code.html",
        {"form": form, "code": code},
        status=422 if form.is_bound else 200,
    )


@require_POST
def absence(request: BookRequest, person: int) -> HttpResponse:
    """Confirm a proposed absence, or say that it is not so."""
    proposed = next((p for p in absences.proposals(timezone.localdate()) if p.person.pk == person), None)
    if proposed is None:
        return redirect("roster")
    if "not-so" in request.POST:
        absences.not_so(proposed, actor=_actor(request))
    else:
        staff.away(person, proposed.reason, proposed.start, proposed.end, actor=_actor(request))
        messages.success(request, f"{proposed.person.shown}: entered. It can be changed on the staff list.")
    return redirect("roster")


@require_GET
def unmatched(request: BookRequest) -> HttpResponse:
    """Entries on no list, each to be matched to a person or put on the list."""
    return _unmatched(request)


def _unmatched(
    request: BookRequest, status: int = 200, failed: int = 0, form: MatchForm | None = None
) -> HttpResponse:
    entries = matching.unmatched()
    listed = [e for e in entries if e.pk == failed] + [e for e in entries if e.pk != failed][:ENTRIES_SHOWN]
    alike = matching.namesakes(listed)
    page = {
        "entries": [
            (e, form if e.pk == failed else MatchForm(auto_id=f"id_{e.pk}_%s"), alike.get(e.pk, ""))
            for e in listed
        ],
        "more": len(entries) - len(listed),
        "rostered": Person.objects.unlisted().rostered().count(),
        "people": Person.objects.listed(),
    }
    return render(request, "training/roster/unmatched.html", page, status=status)


@require_POST
def list_rostered(request: BookRequest) -> HttpResponse:
    """Put everybody of the roster on the list."""
    done = matching.put_rostered_on_list(actor=_actor(request))
    messages.success(request, f"{done} put on the list of people.")
    return redirect("unmatched")


@require_POST
def match(request: BookRequest, entry: int) -> HttpResponse:
    """Say who an entry is, or that it is somebody of its own."""
    if "own" in request.POST:
        matching.put_on_list(entry, actor=_actor(request))
        messages.success(request, "Put on the list.")
        return redirect("unmatched")
    form = MatchForm(request.POST, auto_id=f"id_{entry}_%s")
    if not form.is_valid():
        return _unmatched(request, 422, entry, form)
    person = form.cleaned_data["person"]
    matching.match(entry, person.pk, actor=_actor(request))
    messages.success(request, f"Matched to {person.told_apart}. Nothing counts twice.")
    return redirect("unmatched")


@require_POST
def nobody(request: BookRequest, entry: int) -> HttpResponse:
    """Say that an entry was nobody: its sign-ins are struck."""
    done = matching.nobody(entry, request.POST.get("why", ""), actor=_actor(request))
    messages.success(request, f"{done} {'sign-in' if done == 1 else 'sign-ins'} struck.")
    return redirect("unmatched")


def _actor(request: BookRequest) -> str:
    return str(request.holder.actor)
