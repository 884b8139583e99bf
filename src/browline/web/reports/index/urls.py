"""Addresses of the reports."""

from django.urls import path

from browline.web.reports.index import views

urlpatterns = [
    path("", views.reports, name="reports"),
    path("make/", views.make, name="make-report"),
    path("request/", views.request_page, name="request"),
    path("file/<str:name>", views.download, name="report-file"),
]
