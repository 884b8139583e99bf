"""Addresses of a round: its page, where it is sent, and its sheet on paper."""

from django.urls import path

from browline.web.instruments.rounds import views

urlpatterns = [
    path("", views.index, name="round"),
    path("keep/", views.keep, name="keep-round"),
    path("sheet/", views.sheet, name="round-sheet"),
]
