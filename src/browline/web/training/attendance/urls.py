"""Addresses of: Sign in."""

from django.urls import path

from browline.web.training.attendance import views

urlpatterns = [
    path("", views.index, name="sign-in"),
    path("<str:code>/", views.sign_in, name="sign-in-to"),
]
