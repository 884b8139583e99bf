"""The address of Teaching."""

from django.urls import path

from browline.web.training.index import views

urlpatterns = [path("", views.teaching, name="teaching")]
