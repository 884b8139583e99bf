"""Teaching: what the day asks for, what is coming, and the way to each page of it."""

from datetime import timedelta

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.services.agenda import agenda
from browline.store.models import Person, Session, Shift
from browline.web.current_book import current_book
from browline.web.request import BookRequest

AHEAD = timedelta(days=14)


@require_GET
def teaching(request: BookRequest) -> HttpResponse:
    """The page."""
    now = timezone.localtime()
    coming = Session.objects.planned().filter(time__gte=now - timedelta(hours=1))
    page = {
        "agenda": agenda(current_book(), now),
        "coming": coming.filter(time__lt=now + AHEAD),
        "has_staff": Person.objects.listed().exists(),
        "has_roster": Shift.objects.filter(date__gte=now.date()).exists(),
    }
    return render(request, "training/index/teaching.html", page)
