"""Addresses of the worth page."""

from django.urls import path

from pitchline.desk.worth import views

urlpatterns = [
    path("<uuid:machine_id>/worth/", views.worth, name="worth"),
    path("<uuid:machine_id>/worth/keep/", views.keep, name="keep-asking-price"),
]
