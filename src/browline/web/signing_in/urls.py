"""Addresses of: Sign in."""

from django.urls import path

from browline.web.signing_in import views

urlpatterns = [
    path("", views.index, name="sign-in"),
    path("<str:code>/", views.sign_in, name="sign-in-to"),
]
