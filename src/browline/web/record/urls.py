"""Addresses of: Record."""

from django.urls import path

from browline.web.record import views

urlpatterns = [path("", views.index, name="my-record")]
