"""The address of the sites of measurement."""

from django.urls import path

from browline.web.readings.sites import views

urlpatterns = [path("", views.sites, name="sites")]
