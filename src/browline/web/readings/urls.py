"""Addresses of the readings, the wards and the sites."""

from django.urls import include, path

urlpatterns = [
    path("readings/", include("browline.web.readings.imports.urls")),
    path("wards/", include("browline.web.readings.wards.urls")),
    path("sites/", include("browline.web.readings.sites.urls")),
]
