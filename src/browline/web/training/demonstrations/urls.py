"""Addresses of: Return demonstrations."""

from django.urls import path

from browline.web.training.demonstrations import amending, assessors, pending, scoring, views

urlpatterns = [
    path("", views.index, name="demonstrations"),
    path("<int:number>/", views.demonstration, name="demonstration"),
    path("<int:number>/amend/", amending.amend, name="amend-demonstration"),
    path("<int:number>/withdraw/", amending.withdraw, name="withdraw-demonstration"),
    path("to-score/", scoring.to_score, name="to-score"),
    path("to-score/<int:number>/", scoring.score, name="second-score"),
    path("assessors/", assessors.assessors, name="assessors"),
    path("assessors/<int:number>/close/", assessors.close, name="close-assessor"),
    path("waiting/", pending.waiting, name="demonstrations-waiting"),
    path("waiting/<int:number>/take/", pending.take, name="take-demonstration"),
    path("waiting/<int:number>/put-by/", pending.put_by, name="put-by-demonstration"),
    path("waiting/<int:number>/both-stand/", pending.both_stand, name="let-both-stand"),
]
