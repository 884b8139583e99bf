"""Addresses of: Do assessors agree?."""

from django.urls import path

from browline.web.agreement import views

urlpatterns = [path("", views.index, name="agreement")]
