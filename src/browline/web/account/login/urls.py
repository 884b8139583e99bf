"""The addresses in the links that let somebody in."""

from django.urls import path

from browline.web.account.login import views

urlpatterns = [
    path("<str:token>/", views.come_in, name="come-in"),
    path("pass/<str:token>/", views.come_in_with_pass, name="come-in-with-pass"),
]
