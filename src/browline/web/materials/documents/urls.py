"""Addresses of the controlled documents."""

from django.urls import path

from browline.web.materials.documents import views

urlpatterns = [
    path("<str:kind>/", views.document, name="document"),
    path("<str:kind>/change/", views.change, name="change-document"),
    path("<str:kind>/<int:version>/", views.version, name="document-version"),
]
