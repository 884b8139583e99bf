"""Addresses of the account: links that let somebody in, the choices, the passes."""

from django.urls import include, path

urlpatterns = [
    path("in/", include("browline.web.account.login.urls")),
    path("choices/", include("browline.web.account.preferences.urls")),
    path("passes/", include("browline.web.account.access_links.urls")),
]
