"""Addresses of what is handed out, asked and answered."""

from django.urls import include, path

urlpatterns = [
    path("hand-outs/", include("browline.web.materials.handouts.urls")),
    path("questions/", include("browline.web.materials.questions.urls")),
    path("documents/", include("browline.web.materials.documents.urls")),
]
