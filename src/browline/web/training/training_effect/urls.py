"""The address of the answer on training."""

from django.urls import path

from browline.web.training.training_effect import views

urlpatterns = [path("", views.did_it_work, name="did-training-work")]
