"""Every address of the pages, one line for each folder."""

from django.urls import include, path

urlpatterns = [
    path("in/", include("browline.web.entry.urls")),
    path("", include("browline.web.today.urls")),
    path("readings/", include("browline.web.readings.urls")),
    path("wards/", include("browline.web.wards.urls")),
    path("instruments/", include("browline.web.instruments.urls")),
    path("reports/", include("browline.web.reports.urls")),
    path("choices/", include("browline.web.choices.urls")),
    path("under-way/", include("browline.web.work.urls")),
]
