"""Addresses of all that is said of a machine."""

from django.urls import path

from pitchline.desk.entered import views

urlpatterns = [
    path("<uuid:machine_id>/all/", views.everything, name="all-about"),
    path("<uuid:machine_id>/all/<slug:slug>/", views.section, name="all-section"),
]
