"""Addresses of the register and of each instrument."""

from django.urls import path

from browline.web.instruments.index import daily, views

urlpatterns = [
    path("", views.instruments, name="instruments"),
    path("cleanings/", daily.enter_cleaning, name="enter-cleaning"),
    path("add/", daily.add, name="add-instrument"),
    path("need/", daily.state_need, name="state-need"),
    path("batteries/", daily.state_battery, name="state-battery"),
    path("<int:number>/retire/", daily.retire, name="retire-instrument"),
    path("<int:number>/reinstate/", daily.reinstate, name="reinstate-instrument"),
    path("<int:number>/", views.instrument, name="instrument"),
    path("<int:number>/check/", views.enter_check, name="enter-check"),
    path("<int:number>/edit/", views.edit, name="edit-instrument"),
]
