"""Addresses of: Observe."""

from django.urls import path

from browline.web.training.observe import sheet, views

urlpatterns = [
    path("", views.index, name="observe"),
    path("sheet/", sheet.sheet, name="observe-sheet"),
    path("record/", views.receive, name="observe-record"),
]
