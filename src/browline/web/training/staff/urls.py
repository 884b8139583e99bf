"""Addresses of the staff list."""

from django.urls import path

from browline.web.training.staff import views

urlpatterns = [
    path("", views.staff, name="staff"),
    path("<int:number>/", views.person, name="staff-member"),
    path("<int:number>/away/", views.away, name="staff-away"),
    path("<int:number>/back/<int:absence>/", views.back, name="staff-back"),
]
