"""Addresses of: Return demonstrations."""

from django.urls import path

from browline.web.demonstrations import views

urlpatterns = [path("", views.index, name="demonstrations")]
