"""Addresses of the yard."""

from django.urls import path

from pitchline.desk.yard import list_views, views

urlpatterns = [
    path("", views.yard, name="yard"),
    path("machines/new/", views.add, name="add"),
    path("bring/", views.bring, name="bring"),
    path("archive/", views.archive_ticked, name="archive-ticked"),
    path("lists/<uuid:list_id>/", list_views.shown, name="machine-list"),
    path("lists/<uuid:list_id>/apply/", list_views.apply, name="apply-list"),
    path("lists/blank.<str:ending>", list_views.blank, name="blank-list"),
    path("machines.<str:ending>", list_views.export, name="export-list"),
    path("demo/", views.demo, name="demo"),
]
