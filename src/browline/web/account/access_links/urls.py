"""Addresses of the passes."""

from django.urls import path

from browline.web.account.access_links import views

urlpatterns = [
    path("", views.passes, name="passes"),
    path("<int:number>/take-back/", views.take_back, name="take-back-pass"),
]
