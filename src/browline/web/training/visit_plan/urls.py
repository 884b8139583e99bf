"""Addresses of: Session plan."""

from django.urls import path

from browline.web.training.visit_plan import views

urlpatterns = [
    path("", views.index, name="session-plan"),
    path("<int:number>/", views.plan, name="plan"),
    path("<int:number>/take/", views.take, name="take-visits"),
    path("<int:number>/change/", views.change, name="change-visit"),
    path("<int:number>/plan.pdf", views.paper, name="plan-paper"),
    path("<int:number>/plan.ics", views.calendar, name="plan-calendar"),
]
