"""The address of the questions a class asks."""

from django.urls import path

from browline.web.materials.questions import views

urlpatterns = [path("", views.index, name="class-questions")]
