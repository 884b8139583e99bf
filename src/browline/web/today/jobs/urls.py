"""Addresses of a job."""

from django.urls import path

from browline.web.today.jobs import views

urlpatterns = [
    path("<int:number>/", views.work, name="work"),
    path("<int:number>/progress/", views.progress, name="progress"),
    path("<int:number>/again/", views.again, name="again"),
]
