"""Addresses of: What could a roll-out detect?"""

from django.urls import path

from browline.web.rollout import views

urlpatterns = [path("", views.index, name="rollout")]
