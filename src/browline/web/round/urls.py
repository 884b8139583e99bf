"""Addresses of: Instrument round."""

from django.urls import path

from browline.web.round import views

urlpatterns = [path("", views.index, name="round")]
