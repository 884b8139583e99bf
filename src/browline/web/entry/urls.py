"""The address in the one-time link."""

from django.urls import path

from browline.web.entry import views

urlpatterns = [path("<str:token>/", views.come_in, name="come-in")]
