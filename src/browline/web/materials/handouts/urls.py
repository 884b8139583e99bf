"""Addresses of the hand-outs, and of the site and cover chooser."""

from django.urls import path

from browline.web.materials.handouts import chooser, views

urlpatterns = [
    path("", views.index, name="handouts"),
    path("site-and-cover/", chooser.site_and_cover, name="site-and-cover"),
    path("blank-sign-in.pdf", views.blank_sheet, name="blank-sign-in-sheet"),
    path("<slug:name>.pdf", views.hand_out, name="hand-out"),
]
