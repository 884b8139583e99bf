"""Addresses of: Sessions."""

from django.urls import path

from browline.web.training.sessions import views

urlpatterns = [
    path("", views.index, name="sessions"),
    path("<int:number>/", views.session, name="session"),
    path("<int:number>/here/", views.attendance_now, name="session-here"),
    path("<int:number>/key-in/", views.key_in, name="key-in-sheet"),
    path("<int:number>/strike/", views.strike, name="strike-sign-in"),
    path("<int:number>/move/", views.move, name="move-session"),
    path("<int:number>/cancel/", views.cancel, name="cancel-session"),
    path("<int:number>/held/", views.hold, name="hold-session"),
    path("<int:number>/not-held/", views.back_to_planned, name="session-not-held"),
    path("<int:number>/open-again/", views.open_again, name="open-session-again"),
    path("<int:number>/sheet.pdf", views.sheet, name="sign-in-sheet"),
]
