"""The address of the choices."""

from django.urls import path

from browline.web.account.preferences import views

urlpatterns = [path("", views.choose, name="choices")]
