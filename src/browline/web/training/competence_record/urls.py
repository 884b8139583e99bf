"""Addresses of: Record."""

from django.urls import path

from browline.web.training.competence_record import personal_record, views

urlpatterns = [
    path("", personal_record.index, name="my-record"),
    path("file.pdf", personal_record.file, name="my-record-file"),
    path("<int:person>/", views.record, name="record"),
    path("<int:person>/file.pdf", views.file, name="record-file"),
]
