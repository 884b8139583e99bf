"""The address of the desk."""

from django.urls import path

from browline.web.questioned.desk import views

urlpatterns = [path("", views.desk, name="questioned")]
