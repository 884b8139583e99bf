"""Addresses of: Session plan."""

from django.urls import path

from browline.web.plan import views

urlpatterns = [path("", views.index, name="session-plan")]
