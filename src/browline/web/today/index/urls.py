"""Addresses of Today and of each finding."""

from django.urls import path

from browline.web.today.index import views

urlpatterns = [
    path("", views.today, name="today"),
    path("review/", views.look_again, name="review"),
    path("findings/<int:number>/", views.finding, name="finding"),
    path("findings/<int:number>/readings/", views.behind, name="behind"),
    path("findings/<int:number>/outcome/", views.outcome, name="outcome"),
    path("findings/<int:number>/look-back.xlsx", views.look_back_list, name="look-back"),
]
