"""The address of the sites of measurement."""

from django.urls import path

from browline.web.sites import views

urlpatterns = [path("", views.sites, name="sites")]
