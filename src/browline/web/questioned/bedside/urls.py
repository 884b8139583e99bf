"""Addresses of the bedside, and of the switch for the desk's answer there."""

from django.urls import path

from browline.web.questioned.bedside import switch, views

urlpatterns = [
    path("", views.bedside, name="bedside"),
    path("desk-answer/", switch.index, name="bedside-switch"),
    path("desk-answer/off/", switch.off, name="bedside-switch-off"),
]
