"""Addresses of tables."""

from django.urls import path

from pitchline.desk.tables import views

urlpatterns = [
    path("tables/", views.tables, name="tables"),
    path("tables/<slug:name>.<slug:ending>", views.table, name="table"),
]
