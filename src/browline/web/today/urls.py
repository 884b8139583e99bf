"""Addresses of Today, of its findings and of work under way."""

from django.urls import include, path

urlpatterns = [
    path("", include("browline.web.today.index.urls")),
    path("under-way/", include("browline.web.today.jobs.urls")),
]
