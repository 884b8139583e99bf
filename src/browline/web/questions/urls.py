"""The address of the questions a class asks."""

from django.urls import path

from browline.web.questions import views

urlpatterns = [path("", views.index, name="class-questions")]
