"""Addresses of the wards. A ward's name may hold anything, a stroke too."""

from django.urls import path

from browline.web.readings.wards import views

urlpatterns = [
    path("", views.wards, name="wards"),
    path("<path:name>/sheet.pdf", views.sheet, name="ward-sheet"),
    path("<path:name>/charts.xlsx", views.sample, name="ward-sample"),
    path("<path:name>/rows/<str:test>.xlsx", views.rows, name="ward-rows"),
    path("<path:name>/", views.ward, name="ward"),
]
