"""Addresses of: Do assessors agree?."""

from django.urls import path

from browline.web.training.interrater import views

urlpatterns = [path("", views.index, name="agreement")]
