"""Addresses of the register and of each instrument."""

from django.urls import path

from browline.web.instruments import views

urlpatterns = [
    path("", views.instruments, name="instruments"),
    path("<int:number>/", views.instrument, name="instrument"),
    path("<int:number>/check/", views.enter_check, name="enter-check"),
    path("<int:number>/edit/", views.edit, name="edit-instrument"),
]
