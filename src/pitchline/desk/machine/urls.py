"""Addresses of one machine."""

from django.urls import path

from pitchline.desk.machine import views

urlpatterns = [
    path("<uuid:machine_id>/", views.machine, name="machine"),
    path("<uuid:machine_id>/about/", views.about, name="about"),
    path("<uuid:machine_id>/gear/", views.gear, name="gear"),
    path("<uuid:machine_id>/gear/drawn/", views.gear_drawn, name="gear-drawn"),
    path("<uuid:machine_id>/file/", views.machine_file, name="machine-file"),
    path("<uuid:machine_id>/machine.json", views.machine_download, name="machine-download"),
    path("<uuid:machine_id>/sheet.pdf", views.blank_sheet, name="blank-sheet"),
    path("<uuid:machine_id>/archive/", views.archive, name="archive"),
    path("<uuid:machine_id>/looked/", views.looked, name="looked-for"),
    path("<uuid:machine_id>/changes/", views.changes, name="changes"),
    path("<uuid:machine_id>/papers/<uuid:judgement_id>/<str:name>", views.paper, name="paper"),
    path("<uuid:machine_id>/parts/<path:key>/", views.part, name="part"),
]
