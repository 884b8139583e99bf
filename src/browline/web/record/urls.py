"""Addresses of: Record."""

from django.urls import path

from browline.web.record import own, views

urlpatterns = [
    path("", own.index, name="my-record"),
    path("file.pdf", own.file, name="my-record-file"),
    path("<int:person>/", views.record, name="record"),
    path("<int:person>/file.pdf", views.file, name="record-file"),
]
