"""Addresses of the instruments and of their rounds."""

from django.urls import include, path

urlpatterns = [
    path("instruments/", include("browline.web.instruments.index.urls")),
    path("round/", include("browline.web.instruments.rounds.urls")),
]
