"""Addresses of questioned readings: the desk, the log, the bedside."""

from django.urls import include, path

urlpatterns = [
    path("bedside/", include("browline.web.questioned.bedside.urls")),
    path("questioned/", include("browline.web.questioned.log.urls")),
    path("questioned/", include("browline.web.questioned.desk.urls")),
]
