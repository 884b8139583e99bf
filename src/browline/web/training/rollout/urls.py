"""Addresses of: What could a roll-out detect?"""

from django.urls import path

from browline.web.training.rollout import views

urlpatterns = [path("", views.index, name="rollout")]
