"""Addresses of: Observe."""

from django.urls import path

from browline.web.observe import views

urlpatterns = [
    path("", views.index, name="observe"),
    path("record/", views.receive, name="observe-record"),
]
