"""Addresses of the reports."""

from django.urls import include, path

urlpatterns = [
    path("reports/", include("browline.web.reports.index.urls")),
]
