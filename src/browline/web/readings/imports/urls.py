"""Addresses of Readings: bringing a file in, its receipt, and charts."""

from django.urls import path

from browline.web.readings.imports import charting, receipts, views

urlpatterns = [
    path("", views.readings, name="readings"),
    path("bring/", views.bring, name="bring"),
    path("look/<str:token>/", views.look, name="look"),
    path("look/<str:token>/take/", views.take, name="take"),
    path("look/<str:token>/forget/", views.forget, name="forget"),
    path("imports/<int:number>/", receipts.receipt, name="receipt"),
    path("imports/<int:number>/undo/", receipts.undo, name="undo"),
    path("imports/<int:number>/dates-are-right/", receipts.dates_are_right, name="dates-are-right"),
    path("imports/<int:number>/repairs/<str:code>/restore/", receipts.restore_repair, name="restore-repair"),
    path("imports/<int:number>/repairs/<str:code>/undo/", receipts.undo_repair, name="undo-repair"),
    path("imports/<int:number>/set-aside/", receipts.set_aside, name="set-aside"),
    path("imports/<int:number>/set-aside.xlsx", receipts.set_aside_list, name="set-aside-list"),
    path("chart/", charting.chart, name="chart"),
]
