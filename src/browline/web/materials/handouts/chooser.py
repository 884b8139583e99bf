"""The site and cover chooser. What is typed travels in the body of one request and is kept nowhere."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from browline.roles import ASSESSOR, PERSON, VIEWER
from browline.services.materials.handouts.site import choose
from browline.site_choice import DEFERS, ESCALATE
from browline.web.access import open_to
from browline.web.materials.handouts.forms import PatientForm
from browline.web.request import BookRequest


@open_to(ASSESSOR, VIEWER, PERSON)
@require_http_methods(["GET", "HEAD", "POST"])
def site_and_cover(request: BookRequest) -> HttpResponse:
    """The questions; posting them answers on the same page, which is not stored and cannot be linked to."""
    form = PatientForm(request.POST or None)
    valid = form.is_bound and form.is_valid()
    answer = choose(form.patient(), timezone.localtime()) if valid else None
    page = {"form": form, "answer": answer, "escalate": ESCALATE, "defers": DEFERS}
    return render(request, "materials/handouts/site_and_cover.html", page, status=422 if form.errors else 200)
