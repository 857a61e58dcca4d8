"""The address of ground fit."""

from django.urls import path

from pitchline.desk.groundfit import views

urlpatterns = [path("<uuid:machine_id>/ground/", views.ground_fit, name="ground-fit")]
