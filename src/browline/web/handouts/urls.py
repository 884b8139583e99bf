"""Addresses of: Hand-outs."""

from django.urls import path

from browline.web.handouts import views

urlpatterns = [path("", views.index, name="handouts")]
