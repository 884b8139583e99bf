"""Addresses of: Who can do it."""

from django.urls import path

from browline.web.coverage import views

urlpatterns = [path("", views.index, name="who-can-do-it")]
