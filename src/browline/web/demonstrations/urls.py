"""Addresses of: Return demonstrations."""

from django.urls import path

from browline.web.demonstrations import amending, assessors, scoring, views, waiting

urlpatterns = [
    path("", views.index, name="demonstrations"),
    path("<int:number>/", views.demonstration, name="demonstration"),
    path("<int:number>/amend/", amending.amend, name="amend-demonstration"),
    path("<int:number>/withdraw/", amending.withdraw, name="withdraw-demonstration"),
    path("to-score/", scoring.to_score, name="to-score"),
    path("to-score/<int:number>/", scoring.score, name="second-score"),
    path("assessors/", assessors.assessors, name="assessors"),
    path("assessors/<int:number>/close/", assessors.close, name="close-assessor"),
    path("waiting/", waiting.waiting, name="demonstrations-waiting"),
    path("waiting/<int:number>/take/", waiting.take, name="take-demonstration"),
    path("waiting/<int:number>/put-by/", waiting.put_by, name="put-by-demonstration"),
    path("waiting/<int:number>/both-stand/", waiting.both_stand, name="let-both-stand"),
]
