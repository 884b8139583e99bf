"""Addresses of: Roster."""

from django.urls import path

from browline.web.training.roster import views

urlpatterns = [
    path("", views.index, name="roster"),
    path("bring/", views.bring, name="bring-roster"),
    path("look/<str:token>/", views.look, name="look-at-roster"),
    path("codes/", views.settle, name="settle-codes"),
    path("codes/<path:code>/", views.code, name="shift-code"),
    path("absence/<int:person>/", views.absence, name="roster-absence"),
    path("unmatched/", views.unmatched, name="unmatched"),
    path("unmatched/list-rostered/", views.list_rostered, name="list-rostered"),
    path("unmatched/<int:entry>/nobody/", views.nobody, name="entry-nobody"),
    path("unmatched/<int:entry>/", views.match, name="match-person"),
]
