"""Addresses of the log of questioned readings, of what it teaches, and of their sheets."""

from django.urls import path

from browline.web.questioned.log import learning, views

urlpatterns = [
    path("log/", views.index, name="questioned-log"),
    path("log/new/", views.new, name="log-questioned"),
    path("log/<int:number>/take-back/", views.take_back, name="take-back-questioned"),
    path("log/sheet.pdf", views.blank_sheet, name="questioned-log-sheet"),
    path("learning/", learning.learning, name="questioned-learning"),
    path("learning/sheet.pdf", learning.sheet, name="questioned-learning-sheet"),
]
