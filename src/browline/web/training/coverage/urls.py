"""Addresses of: Who can do it."""

from django.urls import path

from browline.web.training.coverage import champions, due, views

urlpatterns = [
    path("", views.index, name="who-can-do-it"),
    path("on-duty.xlsx", views.on_duty_sheet, name="on-duty-sheet"),
    path("cells.xlsx", views.cells_sheet, name="cells-sheet"),
    path("due/", due.index, name="who-is-due"),
    path("due.xlsx", due.sheet, name="who-is-due-sheet"),
    path("champions/", champions.index, name="champions"),
    path("champions/enter/", champions.appoint, name="appoint-champion"),
    path("champions/<int:number>/end/", champions.release, name="release-champion"),
]
