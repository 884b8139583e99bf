"""Addresses of: Roster."""

from django.urls import path

from browline.web.roster import views

urlpatterns = [
    path("", views.index, name="roster"),
    path("unmatched/", views.unmatched, name="unmatched"),
]
