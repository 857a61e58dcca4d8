"""Addresses of the outlook page."""

from django.urls import path

from pitchline.desk.outlook import views

urlpatterns = [
    path("<uuid:machine_id>/outlook/", views.outlook, name="outlook"),
    path("<uuid:machine_id>/outlook/keep/", views.keep, name="keep-outlook"),
]
