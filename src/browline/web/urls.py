"""Every address of the pages, one line for each area; which page has which stands with its area."""

from django.urls import include, path

urlpatterns = [
    path("", include("browline.web.today.urls")),
    path("", include("browline.web.training.urls")),
    path("", include("browline.web.questioned.urls")),
    path("", include("browline.web.materials.urls")),
    path("", include("browline.web.readings.urls")),
    path("", include("browline.web.instruments.urls")),
    path("", include("browline.web.reports.urls")),
    path("", include("browline.web.account.urls")),
]
