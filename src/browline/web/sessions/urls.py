"""Addresses of: Sessions."""

from django.urls import path

from browline.web.sessions import views

urlpatterns = [path("", views.index, name="sessions")]
